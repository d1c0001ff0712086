from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from jobs.planning.calendar import Calendar

days = st.dates(date(2026, 1, 1), date(2027, 12, 31))


@given(days, st.sets(days, max_size=8), st.integers(0, 900), st.integers(1, 24))
def test_a_slot_lies_on_a_working_day_and_the_day_knows_its_slots(start, free, slot, a_day):
    calendar = Calendar(start=start, day_slots=a_day, free=frozenset(free))
    day = calendar.day_of(slot)
    assert calendar.works(day)
    assert calendar.first_slot(day) <= slot < calendar.end_of(day)
    assert calendar.end_of(day) - calendar.first_slot(day) == a_day


def test_weekends_and_free_days_have_no_slots():
    friday = date(2026, 11, 27)
    calendar = Calendar(start=friday, day_slots=16, free=frozenset({date(2026, 11, 30)}))
    assert calendar.day_of(16) == date(2026, 12, 1)
    assert calendar.end_of(friday + timedelta(days=2)) == 16
    assert calendar.first_slot(friday - timedelta(days=9)) == 0


def test_the_last_day_of_all_days_is_a_day_like_others():
    calendar = Calendar(start=date(2026, 11, 27), day_slots=16)
    assert calendar.end_of(date.max) > calendar.end_of(date(2100, 12, 31))
