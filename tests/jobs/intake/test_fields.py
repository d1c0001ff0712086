from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from jobs.intake.fields import AgencyNameField, DayField, agency_names, whole
from tests.factories import make_agency


def test_day_field_takes_today_on_both_sides():
    today = timezone.localdate()
    assert DayField(past=True).clean(today.isoformat()) == today
    assert DayField(coming=True).clean(today.isoformat()) == today


@pytest.mark.parametrize(
    ("field", "days", "words"), [("past", 1, "after"), ("coming", -1, "before")]
)
def test_day_field_names_the_day_and_today(field, days, words):
    day = timezone.localdate() + timedelta(days=days)
    with pytest.raises(ValidationError, match=f"{day:%Y} is {words} today"):
        DayField(**{field: True}).clean(day.isoformat())


def test_day_field_says_how_to_type_a_date():
    with pytest.raises(ValidationError, match="2026-11-20"):
        DayField().clean("32 May")


@pytest.mark.parametrize(
    ("typed", "words"), [("-1", "-1 is below 0"), ("21", "21 is above 20"), ("two", "from 0 to 20")]
)
def test_whole_names_value_and_limit(typed, words):
    with pytest.raises(ValidationError) as caught:
        whole("Keys", most=20).clean(typed)
    assert words in caught.value.messages[0]


def test_agency_name_field_finds_a_name_in_any_case_and_spacing(db):
    agency = make_agency(name="Kestrel Sound")
    assert AgencyNameField().clean(" kestrel  sound ") == agency


def test_agency_name_field_offers_near_names(db):
    make_agency(name="Kestrel Sound")
    with pytest.raises(ValidationError, match="Is it Kestrel Sound"):
        AgencyNameField().clean("Kestrel Bay")


def test_agency_names_are_bounded(db):
    for number in range(60):
        make_agency(name=f"District {number:02d}")
    assert len(agency_names("district")) == 50


@pytest.mark.parametrize("typed", ["0001-01-01", "1926-05-01", "2206-05-01", "9999-12-31"])
def test_a_year_that_nobody_means_is_named_with_its_limits(typed):
    with pytest.raises(ValidationError, match=rf"{typed} is not .* 1990-01-01 to 2199-12-31"):
        DayField().clean(typed)
