import pytest
from hypothesis import given
from hypothesis import strategies as st
from vininfo import Vin

from jobs.intake import vin
from tests.factories import VIN

ALPHABET = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
vins = st.text(alphabet=ALPHABET, min_size=17, max_size=17)


@pytest.mark.parametrize(
    ("number", "total", "digit"),
    [
        ("1G4AH59H45G118341", 411, "4"),  # sample calculation of 49 CFR 565
        ("1M8GDM9AXKP042788", 351, "X"),  # remainder 10
        ("11111111111111111", 89, "1"),
        ("1UPFT00X9SA000001", 218, "9"),
        ("1UPFT00X0SA000002", 220, "0"),  # remainder 0
        (VIN, None, "7"),
    ],
)
def test_check_digit_is_the_remainder_by_11(number, total, digit):
    found = vin.report(number)
    assert found.is_right
    assert found.expected == digit
    assert total in (None, found.total)


def test_weighted_sum_has_the_terms_of_the_published_sample():
    terms = [vin.VALUES[c] * w for c, w in zip("1G4AH59H45G118341", vin.WEIGHTS, strict=True)]
    assert terms == [8, 49, 24, 5, 32, 15, 18, 80, 0, 45, 56, 7, 6, 40, 12, 12, 2]


@pytest.mark.parametrize(
    ("number", "given", "expected"),
    [("1G4AH59H55G118341", "5", "4"), ("1UPFT00X0SA000001", "0", "9")],
)
def test_report_names_the_given_and_the_expected_digit(number, given, expected):
    sentence = vin.report(number).digit_sentence
    assert f"is {given}; the other characters give {expected}" in sentence
    assert number in sentence


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1G4AH59H45G11834", "has 16 characters; a VIN has 17"),
        ("1G4AH59H45G1183410", "has 18 characters"),
        ("1G4AH59H45G11834I", "character 17 is I, which no VIN has; it is likely 1"),
        ("OG4AH59H45G118341", "character 1 is O, which no VIN has; it is likely 0"),
        ("1G4AQ59H45G118341", "character 5 is Q"),
        ("1G4AH59H45G1183_1", "character 16 is _; a VIN has letters and digits only"),
        ("1G4AH59H45G1183Ä1", "character 16 is Ä"),
        ("", "has 0 characters"),
    ],
)
def test_report_refuses_what_cannot_be_a_vin(typed, words):
    found = vin.report(typed)
    assert words in found.fault
    assert not found.is_right


def test_report_reads_a_plate_as_people_type_it():
    assert vin.report(" 0dev n4hb-7ts0 00417 ").is_right


def test_year_follows_the_seventh_character():
    assert vin.report(VIN).years == (2026,)  # letter: the later turn
    assert vin.report("1M8GDM9AXKP042788").years == (1989,)  # digit: the earlier one


def test_region_comes_from_the_first_character():
    assert vin.report("1UPFT00X9SA000001").region == "North America"
    assert vin.report(VIN).region == ""


@given(vins)
def test_check_digit_agrees_with_an_independent_reading(number):
    right = number[:8] + vin.check_digit(number) + number[9:]
    assert Vin(right).verify_checksum(check_year=False) or not getattr(
        Vin(right).assembler, "uses_sae_checkdigit", True
    )


@given(vins, st.integers(0, 16), st.sampled_from(ALPHABET))
def test_one_misread_character_is_caught_unless_it_has_the_same_value(number, place, char):
    right = number[:8] + vin.check_digit(number) + number[9:]
    wrong = right[:place] + char + right[place + 1 :]
    same = vin.VALUES[char] == vin.VALUES[right[place]] and place != 8
    assert vin.report(wrong).is_right == (same or wrong == right)


@given(st.text(max_size=30))
def test_report_answers_any_text(typed):
    found = vin.report(typed)
    assert bool(found.fault) == (len(found.vin) != 17 or not set(found.vin) <= set(ALPHABET))
