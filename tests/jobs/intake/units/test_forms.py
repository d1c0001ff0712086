from decimal import Decimal

import pytest

from jobs.intake.units.forms import UnitForm
from tests.factories import VIN, make_job, make_unit

WRONG = "1G4AH59H55G118341"


@pytest.fixture
def job(db):
    return make_job(number="J-0007")


def checked(job, **typed):
    form = UnitForm({"number": "SR-4", **typed}, job=job)
    form.is_valid()
    return form


def test_a_number_is_enough_to_begin(job):
    assert checked(job).is_valid()


def test_ratings_are_typed_in_trade_units_and_kept_in_ours(job):
    form = checked(
        job, wheelbase_mm="148", gvwr_g="11030", alternator_rating_ma="250", battery_mah="95",
        keyoff_baseline_ua="28,5",
    )  # fmt: skip
    assert form.is_valid(), form.errors
    values = form.values()
    assert values["wheelbase_mm"] == Decimal("3759.20")
    assert values["gvwr_g"] == Decimal("5003123.841")
    assert values["alternator_rating_ma"] == 250_000
    assert values["battery_mah"] == 95_000
    assert values["keyoff_baseline_ua"] == 28_500


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"number": "SR 4"}, "number", "Use letters, digits"),
        ({"number": "a/b"}, "number", "Use letters, digits"),
        ({"number": "New"}, "number", "'New' cannot be a unit number"),
        ({"wheelbase_mm": "-1"}, "wheelbase_mm", "-1 in is below 40"),
        ({"wheelbase_mm": "401"}, "wheelbase_mm", "401 in is above 400"),
        ({"gvwr_g": "heavy"}, "gvwr_g", "heavy is not a number. Type it in lb."),
        ({"gvwr_g": "NaN"}, "gvwr_g", "NaN is not a number"),
        ({"gvwr_g": "200001"}, "gvwr_g", "200001 lb is above 200000"),
        ({"alternator_rating_ma": "0"}, "alternator_rating_ma", "0 A is below 1"),
        ({"battery_mah": "5001"}, "battery_mah", "5001 Ah is above 5000"),
        ({"keyoff_baseline_ua": "-0.1"}, "keyoff_baseline_ua", "-0.1 mA is below 0"),
    ],
)
def test_one_wrong_value_is_named_with_its_limit(job, typed, field, words):
    assert words in checked(job, **typed).errors[field][0]


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        (
            {"gvwr_g": "12000", "gawr_front_g": "4630", "gawr_rear_g": "7275"},
            "gvwr_g",
            "GVWR, 12,000 lb, is above GAWR front and rear together, 11,905 lb.",
        ),
        (
            {"gvwr_g": "5950", "received_front_g": "3340", "received_rear_g": "2610"},
            "received_rear_g",
            "Both axles as received, 5,950 lb, must be below GVWR, 5,950 lb.",
        ),
        (
            {"gawr_front_g": "4630", "received_front_g": "4631"},
            "received_front_g",
            "Front axle as received, 4,631 lb, is above GAWR front, 4,630 lb.",
        ),
        (
            {"gawr_rear_g": "2609", "received_rear_g": "2610"},
            "received_rear_g",
            "Rear axle as received, 2,610 lb, is above GAWR rear, 2,609 lb.",
        ),
        (
            {"alternator_rating_ma": "250", "alternator_hot_idle_ma": "251"},
            "alternator_hot_idle_ma",
            "Hot at idle, 251 A, is above the alternator rating, 250 A.",
        ),
        (
            {"alternator_rating_ma": "250", "alternator_hot_high_idle_ma": "260"},
            "alternator_hot_high_idle_ma",
            "Hot at high idle, 260 A, is above the alternator rating, 250 A.",
        ),
        (
            {"alternator_hot_idle_ma": "200", "alternator_hot_high_idle_ma": "190"},
            "alternator_hot_idle_ma",
            "Hot at idle, 200 A, is above hot at high idle, 190 A.",
        ),
    ],
)
def test_two_values_that_contradict_are_both_named(job, typed, field, words):
    assert checked(job, **typed).errors[field] == [words]


def test_values_just_at_their_limit_stand(job):
    assert checked(
        job, gvwr_g="11905", gawr_front_g="4630", gawr_rear_g="7275", received_front_g="4630",
        received_rear_g="7274", alternator_rating_ma="250", alternator_hot_idle_ma="250",
        alternator_hot_high_idle_ma="250",
    ).is_valid()  # fmt: skip


def test_a_vin_is_kept_without_spaces_in_capitals(job):
    form = checked(job, vin=" 0devn4hb7-ts000417 ")
    assert form.is_valid()
    assert form.values()["vin"] == VIN


@pytest.mark.parametrize(
    ("vin", "words"),
    [("0DEVN4HB7TS00041", "has 16 characters"), ("IDEVN4HB7TS000417", "character 1 is I")],
)
def test_what_cannot_be_a_vin_is_refused_even_with_a_reason(job, vin, words):
    form = checked(job, vin=vin, vin_reason="Foreign")
    assert words in form.errors["vin"][0]


def test_a_wrong_check_digit_asks_for_a_reason_and_names_both_digits(job):
    form = checked(job, vin=WRONG)
    assert "is 5; the other characters give 4" in form.errors["vin_reason"][0]


def test_a_wrong_check_digit_is_kept_with_a_reason(job):
    form = checked(job, vin=WRONG, vin_reason="Made in Europe")
    assert form.is_valid()
    assert form.values()["vin_reason"] == "Made in Europe"


def test_a_right_check_digit_keeps_no_reason(job):
    form = checked(job, vin=VIN, vin_reason="Made in Europe")
    assert form.is_valid()
    assert form.values()["vin_reason"] == ""


def test_number_and_vin_are_unique_within_the_job(job):
    make_unit(job=job, number="SR-4", vin=VIN)
    form = checked(job, number="sr-4", vin=VIN)
    assert form.errors["number"] == ["Job J-0007 has a unit sr-4 already."]
    assert form.errors["vin"] == [f"VIN {VIN} is unit SR-4 of this job already."]
    assert checked(make_job(), vin=VIN).is_valid()
