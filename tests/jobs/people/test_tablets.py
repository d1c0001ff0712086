from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from jobs.models import AuditEvent, QuickPin, Tablet
from jobs.people.actions import PeopleError
from jobs.people.tablets import (
    LAST_TRY,
    TABLET_TRIES,
    TRIES,
    check_pin,
    enrol_tablet,
    people_of,
    remove_pin,
    revoke_tablet,
    set_pin,
)

pytestmark = pytest.mark.django_db
WRONG, RIGHT = "9071", "4820"


@pytest.fixture
def tablet(manager):
    return enrol_tablet(name="Bay 1", by=manager)[0]


@pytest.fixture
def person(technician):
    set_pin(person=technician, pin=RIGHT)
    return technician


def guess(tablet, person, times=1, typed=WRONG):
    for _ in range(times):
        with pytest.raises(PeopleError) as error:
            check_pin(tablet=tablet, person=person, typed=typed)
    return str(error.value)


def rested(person, tablet):
    """As if the quarter of an hour had passed."""
    past = timezone.now() - timedelta(seconds=1)
    QuickPin.objects.filter(person=person).update(locked_until=past)
    Tablet.objects.filter(pk=tablet.pk).update(locked_until=past)


def test_neither_key_nor_pin_is_stored(manager, person):
    tablet, key = enrol_tablet(name="Bay 2", by=manager)
    assert key not in str(Tablet.objects.filter(pk=tablet.pk).values().get())
    assert RIGHT not in QuickPin.objects.get(person=person).pin
    assert RIGHT not in " ".join(AuditEvent.objects.values_list("sentence", flat=True))


def test_check_pin_lets_the_right_one_through(tablet, person):
    guess(tablet, person, 2)
    check_pin(tablet=tablet, person=person, typed=RIGHT)
    assert QuickPin.objects.get(person=person).failures == 0


def test_after_five_wrong_tries_even_the_right_pin_rests(tablet, person):
    guess(tablet, person, TRIES)
    assert "rests" in guess(tablet, person, typed=RIGHT)
    rested(person, tablet)
    check_pin(tablet=tablet, person=person, typed=RIGHT)


def test_after_ten_wrong_tries_the_pin_is_gone(tablet, person):
    guess(tablet, person, TRIES)
    rested(person, tablet)
    words = guess(tablet, person, LAST_TRY - TRIES)
    assert "taken away after 10 wrong tries" in words
    assert not QuickPin.objects.exists()
    assert people_of(tablet) == []


def test_guesses_at_the_same_moment_win_no_further_try(append_only, manager, technician):
    tablet = enrol_tablet(name="Bay 1", by=manager)[0]
    set_pin(person=technician, pin=RIGHT)

    def one_guess(_: int) -> str:
        try:
            return guess(tablet, technician)
        finally:
            connection.close()

    with ThreadPoolExecutor(12) as pool:
        told = list(pool.map(one_guess, range(12)))
    assert sum("not the PIN" in words for words in told) == TRIES
    assert sum("rests" in words for words in told) == 12 - TRIES


def test_a_tablet_rests_when_many_pins_are_tried_on_it(tablet, person, other_technician, inspector):
    for one in (person, other_technician, inspector):
        set_pin(person=one, pin=RIGHT)
        guess(tablet, one, TRIES)
    assert TABLET_TRIES == 3 * TRIES
    set_pin(person=person, pin=RIGHT)
    assert "Too many wrong PINs on Bay 1" in guess(tablet, person, typed=RIGHT)


def test_a_withdrawn_tablet_takes_no_pin(tablet, person, manager):
    revoke_tablet(tablet=tablet, by=manager)
    guess(tablet, person, typed=RIGHT)
    with pytest.raises(PeopleError, match="withdrawn already"):
        revoke_tablet(tablet=tablet, by=manager)


def test_two_tablets_need_two_names(tablet, manager):
    with pytest.raises(PeopleError, match="called Bay 1 already"):
        enrol_tablet(name="Bay 1", by=manager)


def test_who_left_or_removed_the_pin_is_not_offered(tablet, person):
    assert people_of(tablet) == [person]
    person.is_active = False
    person.save()
    assert people_of(tablet) == []
    remove_pin(person=person)
    assert not QuickPin.objects.exists()
