"""What happens to requirements. Their number never changes, so that people can name them."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import F, Max

from jobs.audit.record import record
from jobs.intake.agencies.actions import field_words
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import Job, Requirement

Status = Requirement.Status
SETTLED = (Status.CONFIRMED, Status.WAIVED)


def _next_number(job: Job) -> int:
    """The next free number. The job's row is locked so that two people never get the same."""
    Job.objects.select_for_update().get(pk=job.pk)
    return (job.requirements.aggregate(last=Max("number"))["last"] or 0) + 1


@transaction.atomic
def add_requirement(*, job: Job, values: Mapping[str, Any], by: Any) -> Requirement:
    requirement = Requirement.objects.create(job=job, number=_next_number(job), **values)
    _record(requirement, by, "added", f"Added {requirement}: {requirement.text}")
    return requirement


@transaction.atomic
def change_requirement(
    *, requirement: Requirement, version: int, values: Mapping[str, Any], by: Any
) -> bool:
    """Change the words. Confirmed or waived words that change are open again: True tells so."""
    was = requirement.get_status_display().lower()
    changed = update_guarded(requirement, version=version, values=values)
    if not changed:
        return False
    reopened = bool(
        "text" in changed
        and Requirement.objects.filter(pk=requirement.pk, status__in=SETTLED).update(
            status=Status.OPEN, settled_by="", settled_on=None
        )
    )
    again = f" It was {was} and is open again." if reopened else ""
    words = field_words(Requirement, changed)
    _record(requirement, by, "changed", f"Changed {requirement}: {words}.{again}")
    return reopened


@transaction.atomic
def set_status(
    *,
    requirement: Requirement,
    old: str,
    status: str,
    settled_by: str,
    settled_on: date | None,
    note: str,
    by: Any,
) -> None:
    """Move from the status the person saw to a new one. Loses when it was moved meanwhile."""
    settled = status in SETTLED
    moved = Requirement.objects.filter(pk=requirement.pk, status=old).update(
        status=status,
        settled_by=settled_by if settled else "",
        settled_on=settled_on if settled else None,
        note=note,
        version=F("version") + 1,
    )
    requirement.refresh_from_db()
    if not moved:
        if requirement.status == status:
            return
        raise IntakeError(
            f"Somebody else set {requirement} to {requirement.get_status_display().lower()} "
            "meanwhile. Look at it once more."
        )
    who = f" by {settled_by}" if settled else ""
    words = requirement.get_status_display().lower()
    _record(requirement, by, words, f"{requirement} is {words}{who}: {requirement.text}")


@transaction.atomic
def copy_requirements(*, job: Job, requirements: Iterable[Requirement], by: Any) -> int:
    """Copy the words as open requirements, each naming where it comes from; skip what is there."""
    held = set(job.requirements.values_list("text", flat=True))
    number = _next_number(job)
    copies = []
    for old in requirements:
        if old.text not in held:
            held.add(old.text)
            copies.append(_copy(old, job, number + len(copies)))
    Requirement.objects.bulk_create(copies)
    if copies:
        sentence = f"Copied {len(copies)} requirements from an earlier job."
        record(by=by, verb="copied", subject=job, job=job.number, sentence=sentence)
    return len(copies)


def _copy(old: Requirement, job: Job, number: int) -> Requirement:
    source = f"Copied from {old.job.number} {old}; there: {old.source}"
    return Requirement(
        job=job,
        number=number,
        text=old.text,
        source=source[: Requirement._meta.get_field("source").max_length],
        must=old.must,
        drives_design=old.drives_design,
    )


def _record(requirement: Requirement, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=requirement, job=requirement.job.number, sentence=sentence)
