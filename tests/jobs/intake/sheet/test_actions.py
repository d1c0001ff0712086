from concurrent.futures import ThreadPoolExecutor
from itertools import chain

import pytest
from django.db import IntegrityError, connection, transaction

from jobs.intake.errors import IntakeError
from jobs.intake.sheet import actions
from jobs.models import Agency, AuditEvent, Job
from tests.factories import make_agency, make_job, make_requirement


def start(by, **fields):
    values = {
        "agency": None,
        "agency_name": "Kestrel Sound",
        "title": "Rescue van",
        "vehicle": "",
        "promised_on": None,
        "copy_from": None,
        **fields,
    }
    return actions.start_job(**values, by=by)


def test_numbers_follow_each_other(manager):
    agency = make_agency()
    numbers = [start(manager, agency=agency).number for _ in range(3)]
    assert numbers == ["J-0001", "J-0002", "J-0003"]


def test_a_job_that_fails_gives_its_number_back(manager):
    agency = make_agency()
    with pytest.raises(IntegrityError), transaction.atomic():
        start(manager, agency=agency, title=None)
    assert start(manager, agency=agency).number == "J-0001"


def test_a_number_that_was_brought_along_is_passed_over(manager):
    make_job(number="J-0001")
    assert start(manager).number == "J-0002"


def test_start_job_adds_a_new_agency_in_the_same_go(manager):
    job = start(manager)
    assert job.agency.name == "Kestrel Sound"
    assert list(AuditEvent.objects.order_by("pk").values_list("verb", flat=True)) == [
        "added",
        "started",
    ]


def test_start_job_with_an_agency_taken_meanwhile_leaves_nothing(manager):
    make_agency(name="Kestrel Sound")
    with pytest.raises(IntakeError):
        start(manager)
    assert not Job.objects.exists()
    assert Agency.objects.count() == 1


def test_start_job_copies_requirements_as_open(manager):
    old = make_requirement(status="confirmed")
    job = start(manager, copy_from=old.job)
    copy = job.requirements.get()
    assert (copy.text, copy.status, copy.settled_by) == (old.text, "open", "")
    assert copy.source.startswith(f"Copied from {old.job.number} RQ1")


def test_cancel_job_keeps_its_reason_and_happens_once(manager):
    job = make_job()
    actions.cancel_job(job=job, reason="No money", by=manager)
    assert Job.objects.get().state == Job.State.CANCELLED
    assert AuditEvent.objects.get().sentence == "Cancelled the job, which was enquiry: No money"
    with pytest.raises(IntakeError, match="is cancelled and cannot be cancelled"):
        actions.cancel_job(job=job, reason="Again", by=manager)


def test_a_released_job_cannot_be_cancelled(manager):
    job = make_job(state=Job.State.RELEASED)
    with pytest.raises(IntakeError, match="is released"):
        actions.cancel_job(job=job, reason="Late", by=manager)


def test_numbers_have_no_gap_and_no_twin_when_people_start_jobs_at_once(append_only, manager):
    agency = make_agency()

    def start_three(_):
        try:
            return [start(manager, agency=agency).number for _ in range(3)]
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as people:
        numbers = sorted(chain.from_iterable(people.map(start_three, range(4))))
    assert numbers == [f"J-{number:04d}" for number in range(1, 13)]
