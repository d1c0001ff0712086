from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.intake import misses
from jobs.models import LinkMiss


@pytest.fixture(autouse=True)
def one_minute(monkeypatch):
    """The clock stands still, so that no test runs across a full minute."""
    now = timezone.now()
    monkeypatch.setattr(misses.timezone, "now", lambda: now)
    return now


def test_an_address_may_miss_29_times_a_minute_but_not_30(db):
    for _ in range(misses.MOST_MISSES_PER_MINUTE - 1):
        misses.count_miss("192.0.2.7")
    assert not misses.too_many_misses("192.0.2.7")
    misses.count_miss("192.0.2.7")
    assert misses.too_many_misses("192.0.2.7")
    assert not misses.too_many_misses("2001:db8::7")


def test_the_next_minute_starts_anew(db, one_minute, monkeypatch):
    for _ in range(misses.MOST_MISSES_PER_MINUTE):
        misses.count_miss("192.0.2.7")
    monkeypatch.setattr(misses.timezone, "now", lambda: one_minute + timedelta(minutes=1))
    assert not misses.too_many_misses("192.0.2.7")


def test_count_miss_forgets_minutes_older_than_an_hour(db, one_minute):
    misses.count_miss("192.0.2.7")
    LinkMiss.objects.update(minute=one_minute - timedelta(hours=2))
    misses.count_miss("192.0.2.8")
    assert LinkMiss.objects.get().ip == "192.0.2.8"
