"""Rows for tests, made by typed keyword-only functions. What a test does not name is plausible."""

from datetime import date
from itertools import count
from typing import Any

from jobs.models import Agency, FurnishedItem, Job, Requirement, Unit

# An invented VIN whose check digit is right; its region letter is unassigned.
VIN = "0DEVN4HB7TS000417"
_next = count(1)


def make_agency(*, name: str = "", **fields: Any) -> Agency:
    name = name or f"Harbour Rescue District {next(_next)}"
    return Agency.objects.create(name=name, **fields)


def make_job(
    *, agency: Agency | None = None, number: str = "", title: str = "Rescue van", **fields: Any
) -> Job:
    number = number or f"J-{9000 + next(_next)}"
    return Job.objects.create(agency=agency or make_agency(), number=number, title=title, **fields)


def make_unit(*, job: Job | None = None, number: str = "", **fields: Any) -> Unit:
    return Unit.objects.create(
        job=job or make_job(), number=number or f"SR-{next(_next)}", **fields
    )


def make_requirement(
    *,
    job: Job | None = None,
    text: str = "White scene light on three sides",
    source: str = "Crew representative, first call",
    status: str = Requirement.Status.OPEN,
    **fields: Any,
) -> Requirement:
    """Confirmed and waived ones get a name and a date unless the test gives them."""
    job = job or make_job()
    if status in (Requirement.Status.CONFIRMED, Requirement.Status.WAIVED):
        fields = {"settled_by": "Crew representative", "settled_on": date(2026, 3, 9), **fields}
    number = fields.pop("number", job.requirements.count() + 1)
    return Requirement.objects.create(
        job=job, number=number, text=text, source=source, status=status, **fields
    )


def make_furnished_item(
    *, job: Job | None = None, description: str = "Two-way radio, 50 W", **fields: Any
) -> FurnishedItem:
    return FurnishedItem.objects.create(job=job or make_job(), description=description, **fields)
