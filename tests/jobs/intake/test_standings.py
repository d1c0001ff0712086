from datetime import date

import pytest
from django.utils import timezone

from config.access import DESIGNER, MANAGER, TECHNICIAN
from jobs.intake import standings
from jobs.intake.spine import Now
from jobs.models import Job
from tests.factories import make_furnished_item, make_job, make_requirement, make_unit

pytestmark = pytest.mark.django_db


def test_enquiry_asks_for_a_unit_then_for_the_date_then_is_done():
    job = make_job()
    assert standings.enquiry_standings([job])[job.pk].action.words == "Add the first unit"
    make_unit(job=job)
    assert standings.enquiry_standings([job])[job.pk].action.words == "Enter the promised date"
    job.promised_on = date(2026, 6, 12)
    assert standings.enquiry_standings([job])[job.pk].now == Now.DONE


def test_arrival_comes_later_without_units():
    job = make_job()
    assert standings.arrival_standings([job])[job.pk].now == Now.LATER


def test_arrival_counts_the_units_that_are_here(manager):
    job = make_job(state=Job.State.APPROVED)
    here = {"arrived_at": timezone.now(), "accepted_by": manager}
    make_unit(job=job, number="A", **here)
    make_unit(job=job, number="B")
    found = standings.arrival_standings([job])[job.pk]
    assert found.detail == "1 of 2 units"
    assert found.blockers == ("Unit B has not been checked in.",)
    assert found.action.words == "Check in unit B"
    assert TECHNICIAN in found.action.roles
    job.units.filter(number="B").update(**here)
    assert standings.arrival_standings([job])[job.pk].now == Now.DONE


def test_nobody_waits_for_a_vehicle_before_the_award():
    job = make_job(state=Job.State.ENQUIRY)
    make_unit(job=job)
    found = standings.arrival_standings([job])[job.pk]
    assert (found.now, found.blockers, found.action) == (Now.LATER, (), None)


def test_requirements_count_open_and_assumed_ones_and_name_what_blocks_the_design():
    job = make_job()
    make_requirement(job=job, status="open")
    make_requirement(job=job, status="assumed", drives_design=True)
    make_requirement(job=job, status="confirmed", drives_design=True)
    found = standings.requirement_standings([job])[job.pk]
    assert found.detail == "1 open, 1 assumed of 3"
    assert found.blockers[0].startswith("1 open or assumed requirement feeds a calculation.")
    assert found.action.roles == (MANAGER, DESIGNER)


def test_requirements_are_done_when_all_are_confirmed_or_waived():
    job = make_job()
    make_requirement(job=job, status="confirmed")
    make_requirement(job=job, status="waived")
    assert standings.requirement_standings([job])[job.pk].now == Now.DONE


def test_agency_items_wait_for_the_agency_and_name_the_stage_they_hold():
    job = make_job()
    make_furnished_item(job=job, description="Router", needed_for_stage="S7")
    make_furnished_item(job=job, arrived_on=date(2026, 5, 4), received_by="Dag")
    make_furnished_item(job=job, waived_reason="They buy none")
    found = standings.furnished_standings([job])[job.pk]
    assert (found.now, found.detail) == (Now.WAITING, "2 of 3 agency items here")
    assert found.blockers == ("Router has not arrived; stage S7 waits for it.",)
