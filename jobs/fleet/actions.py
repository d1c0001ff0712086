"""Fleet jobs: many units at once, and how one of them differs."""

from typing import Any

from django.db import transaction

from jobs.audit.record import display_name, record
from jobs.fleet.models import UnitDifference
from jobs.intake.errors import IntakeError
from jobs.intake.models import Job, Unit
from jobs.intake.units.actions import add_unit


class FleetError(Exception):
    """Why it cannot be done, as a sentence."""


@transaction.atomic
def add_units(*, job: Job, prefix: str, first: int, count: int, by: Any) -> list[Unit]:
    """Units numbered on from `first`, under the job's one specification. All or none."""
    width = len(str(first + count - 1))
    try:
        return [
            add_unit(job=job, values={"number": f"{prefix}{number:0{width}d}", "vin": ""}, by=by)
            for number in range(first, first + count)
        ]
    except IntakeError as error:
        raise FleetError(str(error)) from None


@transaction.atomic
def add_difference(*, unit: Unit, line: str, text: str, by: Any) -> UnitDifference:
    row = UnitDifference.objects.create(unit=unit, line=line, text=text, added_by=display_name(by))
    sentence = f"Unit {unit} differs: {row}."
    record(by=by, verb="added", subject=row, job=unit.job.number, sentence=sentence)
    return row


@transaction.atomic
def remove_difference(*, row: UnitDifference, by: Any) -> None:
    sentence = f"Unit {row.unit} differs no more: {row}."
    record(by=by, verb="removed", subject=row, job=row.unit.job.number, sentence=sentence)
    row.delete()
