import pytest

from jobs.intake.arrival.forms import AcceptForm, ReadingsForm
from tests.factories import VIN, make_job, make_unit


def read(unit, **typed):
    data = {"version": 0, "odometer_mi": "12", "keys": "2", "fuel_percent": "75", **typed}
    form = ReadingsForm(data, instance=unit)
    form.is_valid()
    return form


@pytest.mark.parametrize("plate", [VIN, "ts000417", "7 TS00 0417"])
def test_the_tail_of_the_plate_is_enough_when_the_vin_is_known(db, plate):
    form = read(make_unit(vin=VIN), plate=plate)
    assert form.is_valid(), form.errors
    assert form.values()["vin"] == VIN


@pytest.mark.parametrize(
    ("plate", "words"),
    [
        ("000417", "has 6 characters; type at least the last 8"),
        ("TS000418", "The plate reads TS000418; the office wrote TS000417."),
        ("1" * 17, "the office wrote 0DEVN4HB7TS000417"),
        ("", "needs a value"),
    ],
)
def test_a_plate_that_does_not_fit_is_compared_with_what_the_office_wrote(db, plate, words):
    assert words in read(make_unit(vin=VIN), plate=plate).errors["plate"][0]


def test_the_first_reading_of_an_unknown_vin_is_checked_whole(db):
    job = make_job()
    assert read(make_unit(job=job), plate=VIN).values()["vin"] == VIN
    assert "has 8 characters" in read(make_unit(job=job), plate="TS000417").errors["plate"][0]
    wrong = read(make_unit(job=job), plate="1G4AH59H55G118341").errors["plate"][0]
    assert "the other characters give 4" in wrong
    assert "ask the office" in wrong


def test_a_plate_that_is_another_unit_of_the_job_is_refused(db):
    job = make_job()
    make_unit(job=job, vin=VIN, number="SR-4")
    assert "is unit SR-4" in read(make_unit(job=job), plate=VIN).errors["plate"][0]


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"odometer_mi": "-1"}, "odometer_mi", "-1 is below 0"),
        ({"odometer_mi": "2000001"}, "odometer_mi", "2000001 is above 2,000,000"),
        ({"keys": "21"}, "keys", "21 is above 20"),
        ({"fuel_percent": "101"}, "fuel_percent", "101 is above 100"),
        ({"fuel_percent": "half"}, "fuel_percent", "Type a whole number from 0 to 100."),
        ({"keys": ""}, "keys", "needs a value"),
    ],
)
def test_readings_name_value_and_limit(db, typed, field, words):
    assert words in read(make_unit(vin=VIN), plate=VIN, **typed).errors[field][0]


def test_readings_just_at_their_limits_stand(db):
    unit = make_unit(vin=VIN)
    assert read(unit, plate=VIN, odometer_mi="0", keys="0", fuel_percent="0").is_valid()
    assert read(unit, plate=VIN, odometer_mi="2000000", keys="20", fuel_percent="100").is_valid()


@pytest.mark.parametrize(
    ("name", "fits"), [("Ilse Marrow", True), ("mona  ASH", False), ("", False)]
)
def test_who_hands_over_is_not_who_accepts(name, fits):
    assert AcceptForm({"handed_over_by": name}, accepted_by="Mona Ash").is_valid() == fits
