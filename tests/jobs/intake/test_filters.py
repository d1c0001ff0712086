from datetime import date, timedelta

import pytest
from django.utils import timezone

from jobs.audit.record import record
from jobs.intake.filters import AgencyFilter, HistoryFilter, JobFilter
from tests.factories import make_agency, make_job, make_unit

pytestmark = pytest.mark.django_db


def found(**typed):
    form = JobFilter(typed)
    assert form.is_valid(), form.errors
    return [job.number for job in form.rows()]


def test_open_jobs_stand_first_by_promised_date_and_undated_ones_last():
    make_job(number="LATE", promised_on=date(2026, 9, 1))
    make_job(number="NONE")
    make_job(number="SOON", promised_on=date(2026, 6, 1))
    make_job(number="OVER", promised_on=date(2026, 1, 1), state="delivered")
    assert found() == ["SOON", "LATE", "NONE"]
    assert found(state="all", sort="newest") == ["OVER", "SOON", "NONE", "LATE"]
    assert found(state="delivered") == ["OVER"]


@pytest.mark.parametrize("text", ["j-77", "rescue", "high-roof", "kestrel", "sr-4", "ts000417"])
def test_text_is_found_in_job_vehicle_agency_unit_and_vin(text):
    agency = make_agency(name="Kestrel Sound")
    job = make_job(number="J-7777", title="Shore rescue", vehicle="High-roof van", agency=agency)
    make_unit(job=job, number="SR-4", vin="0DEVN4HB7TS000417")
    make_job(number="J-0001", title="Patrol", agency=make_agency(name="Other"))
    assert found(q=text) == ["J-7777"]


def test_a_job_with_several_fitting_units_stands_there_once():
    job = make_job(number="J-1")
    make_unit(job=job, number="SR-4")
    make_unit(job=job, number="SR-5")
    assert found(q="SR-") == ["J-1"]


def test_only_jobs_of_one_agency():
    job = make_job()
    make_job()
    assert found(agency=job.agency_id) == [job.number]


@pytest.mark.parametrize("sort", ["", "newest"])
def test_pages_follow_each_other_without_gap_or_repeat(sort):
    days = [date(2026, 6, 1), date(2026, 6, 1), None, date(2026, 7, 1), None]
    for day in days:
        make_job(promised_on=day)
    everything, walked, after = found(sort=sort), [], ""
    while True:
        form = JobFilter({"sort": sort, "after": after})
        assert form.is_valid()
        page = list(form.rows()[:2])
        if not page:
            break
        walked += [job.number for job in page]
        after = JobFilter.cursor(page[-1])
    assert walked == everything


@pytest.mark.parametrize("after", ["x", "2026-06-12", "2026-99-99_1", "_", "2026-06-12_x"])
def test_a_spoiled_page_mark_is_named(after):
    form = JobFilter({"after": after})
    assert not form.is_valid()
    assert "Start again at its top" in form.errors["after"][0]


def test_a_page_mark_beyond_every_key_is_an_empty_page():
    make_job()
    assert found(after=f"9999-12-31_{10**25}") == []


@pytest.mark.parametrize(
    ("typed", "field"),
    [({"state": "lost"}, "state"), ({"agency": "999"}, "agency"), ({"q": "x" * 101}, "q")],
)
def test_values_that_do_not_exist_are_refused(typed, field):
    assert field in JobFilter(typed).errors


def test_agencies_are_found_by_name_and_place_and_continue_after_a_name():
    for name, place in (("Bay", "North"), ("Cove", "South"), ("Dune", "North")):
        make_agency(name=name, place=place)
    form = AgencyFilter({"q": "north"})
    assert form.is_valid()
    assert [agency.name for agency in form.rows()] == ["Bay", "Dune"]
    form = AgencyFilter({"after": "Bay"})
    assert form.is_valid()
    assert [agency.name for agency in form.rows()] == ["Cove", "Dune"]


@pytest.fixture
def events(manager, technician):
    job = make_job(number="J-1")
    record(by=manager, verb="started", subject=job, job="J-1", sentence="Started the job.")
    record(by=technician, verb="read", subject=job, job="J-1", sentence="Read unit SR-4.")
    record(by=manager, verb="started", subject=job, job="J-2", sentence="Started another.")


@pytest.mark.parametrize(
    ("typed", "sentences"),
    [
        ({}, ["Read unit SR-4.", "Started the job."]),
        ({"q": "sr-4"}, ["Read unit SR-4."]),
        ({"who": "mona"}, ["Started the job."]),
    ],
)
def test_history_of_one_job_is_newest_first_and_can_be_searched(events, typed, sentences):
    form = HistoryFilter(typed)
    assert form.is_valid()
    assert [event.sentence for event in form.rows("J-1")] == sentences


def test_history_from_and_to_a_day_includes_that_day(events):
    today = timezone.localdate()
    form = HistoryFilter({"since": today, "until": today})
    assert form.is_valid()
    assert form.rows("J-1").count() == 2
    form = HistoryFilter({"until": today - timedelta(days=1)})
    assert form.is_valid()
    assert not form.rows("J-1").exists()


def test_history_refuses_an_end_before_its_start():
    form = HistoryFilter({"since": "2026-06-12", "until": "2026-06-11"})
    assert form.errors["until"] == ["11 Jun 2026 is before 12 Jun 2026."]
