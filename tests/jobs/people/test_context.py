import pytest
from django.forms import modelform_factory

from config.access import DESIGNER, INSPECTOR, MANAGER, TECHNICIAN
from jobs.models import Job
from jobs.people.context import ROOMS, rooms_for


def words(*roles: str, path: str = "/") -> list[str]:
    return [room.word for room in rooms_for(frozenset(roles), path)]


def test_rooms_follow_the_roles_somebody_holds():
    assert "People" in words(MANAGER)
    for role in (DESIGNER, TECHNICIAN, INSPECTOR):
        assert "People" not in words(role)
        assert words(role)[0] == "My day"
    assert words() == []


@pytest.mark.parametrize(("path", "here"), [("/", "My day"), ("/people/7/", "People")])
def test_the_room_one_is_in_is_marked_and_no_other(path, here):
    found = [room.word for room in rooms_for(frozenset({MANAGER}), path) if room.here]
    assert found == [here]


def test_every_room_of_the_navigation_exists():
    from django.urls import reverse

    assert all(reverse(name) for _, name, _ in ROOMS)


@pytest.mark.django_db
def test_an_empty_choice_says_what_to_do():
    form = modelform_factory(Job, fields=["agency"])()
    assert "--" not in str(form["agency"])
    assert '<option value="" selected>Choose</option>' in str(form["agency"])
