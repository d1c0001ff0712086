"""What happens to a job: started, changed, cancelled and taken up again."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone
from sequences import get_next_value

from jobs.audit.record import record
from jobs.intake.agencies.actions import add_agency, field_words
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import Agency, Job
from jobs.intake.requirements.actions import copy_requirements

SEQUENCE = "jobs"
CANCELLABLE = (Job.State.ENQUIRY, Job.State.QUOTED, Job.State.APPROVED, Job.State.BUILDING)


def next_number() -> str:
    """J-0001, J-0002, ... without gaps: a transaction that fails gives its number back."""
    while True:
        number = f"J-{get_next_value(SEQUENCE):04d}"
        if not Job.objects.filter(number=number).exists():
            return number


@transaction.atomic
def start_job(
    *,
    agency: Agency | None,
    agency_name: str,
    title: str,
    vehicle: str,
    promised_on: date | None,
    copy_from: Job | None,
    by: Any,
) -> Job:
    """Start a job, with its agency when that is new and with requirements of an earlier job."""
    agency = agency or add_agency(values={"name": agency_name}, by=by)
    job = Job.objects.create(
        number=next_number(),
        agency=agency,
        title=title,
        vehicle=vehicle,
        promised_on=promised_on,
        enquired_on=timezone.localdate(),
    )
    sentence = f"Started job {job.number} for {agency.name}: {title}."
    record(by=by, verb="started", subject=job, job=job.number, sentence=sentence)
    if copy_from:
        copy_requirements(job=job, requirements=copy_from.requirements.all(), by=by)
    return job


@transaction.atomic
def change_job(*, job: Job, version: int, values: Mapping[str, Any], by: Any) -> None:
    changed = update_guarded(job, version=version, values=values)
    if changed:
        sentence = f"Changed the job: {field_words(Job, changed)}."
        record(by=by, verb="changed", subject=job, job=job.number, sentence=sentence)


@transaction.atomic
def cancel_job(*, job: Job, reason: str, by: Any) -> None:
    """Stop a job before its release. What was done stays on record."""
    open_job = Job.objects.filter(pk=job.pk, state__in=CANCELLABLE)
    if not open_job.update(state=Job.State.CANCELLED):
        job.refresh_from_db()
        state = job.get_state_display().lower()
        raise IntakeError(f"Job {job.number} is {state} and cannot be cancelled.")
    sentence = f"Cancelled the job, which was {job.get_state_display().lower()}: {reason}"
    record(by=by, verb="cancelled", subject=job, job=job.number, sentence=sentence)
