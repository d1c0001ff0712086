from types import SimpleNamespace

from config.access import INSPECTOR, MANAGER
from jobs.templatetags import navigation

JOB = SimpleNamespace(number="J-7")
UNIT = SimpleNamespace(number="SR-4")


def test_job_tabs_lead_to_the_rooms_of_this_job_and_mark_one():
    tabs = navigation.job_tabs(JOB, "requirements")
    assert {tab.word: tab.url for tab in tabs}["Requirements"] == "/jobs/J-7/requirements/"
    assert [tab.word for tab in tabs if tab.here] == ["Requirements"]


def test_unit_tabs_name_job_and_unit():
    tabs = navigation.unit_tabs(JOB, UNIT, "unit")
    assert {tab.word: tab.url for tab in tabs}["Unit"] == "/jobs/J-7/units/SR-4/"


def test_only_an_inspector_is_led_to_the_release():
    words = {
        role: [tab.word for tab in navigation.unit_tabs(JOB, UNIT, "unit", {role})]
        for role in (MANAGER, INSPECTOR)
    }
    assert "Release" in words[INSPECTOR]
    assert "Release" not in words[MANAGER] and "Packet" in words[MANAGER]


def test_a_room_that_does_not_exist_is_left_out(monkeypatch):
    rooms = (("job", "Overview", "jobs:job_detail"), ("moon", "Moon", "jobs:moon_detail"))
    monkeypatch.setattr(navigation, "JOB_ROOMS", rooms)
    assert [tab.word for tab in navigation.job_tabs(JOB)] == ["Overview"]
