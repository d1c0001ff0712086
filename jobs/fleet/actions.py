"""Fleet jobs: many units at once, and how one of them differs."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from jobs.audit.record import display_name, record
from jobs.build_sheet.models import BuildLine, UnitDifference
from jobs.intake.errors import IntakeError
from jobs.intake.models import Job, Unit
from jobs.intake.units.actions import add_unit
from jobs.stages.models import Stage
from jobs.stages.planned import planned_minutes


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
def add_difference(
    *, units: Iterable[Unit], line: BuildLine | None, pieces: int | None, text: str, by: Any
) -> None:
    """What is otherwise on some units; said again about the same line it takes its place."""
    for unit in units:
        Unit.objects.select_for_update().get(pk=unit.pk)
        _still_open(unit)
        if pieces is not None:
            unit.differences.filter(line=line, pieces__isnull=False).delete()
        row = UnitDifference.objects.create(
            unit=unit, line=line, pieces=pieces, text=text, added_by=display_name(by)
        )
        _plan_anew(unit)
        sentence = f"Unit {unit} differs: {row}."
        record(by=by, verb="added", subject=row, job=unit.job.number, sentence=sentence)


@transaction.atomic
def remove_difference(*, row: UnitDifference, by: Any) -> None:
    _still_open(row.unit)
    sentence = f"Unit {row.unit} differs no more: {row}."
    record(by=by, verb="removed", subject=row, job=row.unit.job.number, sentence=sentence)
    row.delete()
    _plan_anew(row.unit)


def _still_open(unit: Unit) -> None:
    states = set(unit.stages.values_list("state", flat=True))
    if states == {Stage.State.SIGNED}:
        raise FleetError(f"Unit {unit} is signed off. What changes now is a service case.")


def _plan_anew(unit: Unit) -> None:
    """Hours of stages that nobody has begun follow what the unit gets."""
    minutes = planned_minutes(unit)
    for stage in unit.stages.filter(state=Stage.State.WAITING):
        wanted = minutes.get(stage.code, 0)
        Stage.objects.filter(pk=stage.pk, state=Stage.State.WAITING).update(planned_minutes=wanted)
