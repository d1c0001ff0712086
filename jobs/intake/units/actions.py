"""What happens to the units of a job before and beside their arrival."""

from collections.abc import Mapping
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import ProtectedError

from jobs.audit.record import record
from jobs.intake.agencies.actions import field_words
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import Job, Unit


def _taken(values: Mapping[str, Any]) -> IntakeError:
    """Two people added the same number or VIN in the same moment; the forms saw neither."""
    return IntakeError(f"This job has a unit {values['number']} or VIN {values['vin']} already.")


@transaction.atomic
def add_unit(*, job: Job, values: Mapping[str, Any], by: Any) -> Unit:
    try:
        with transaction.atomic():
            unit = Unit.objects.create(job=job, **values)
    except IntegrityError:
        raise _taken(values) from None
    _record(unit, by, "added", f"Added unit {unit.number}{_vin_words(unit)}.")
    return unit


@transaction.atomic
def change_unit(*, unit: Unit, version: int, values: Mapping[str, Any], by: Any) -> None:
    try:
        with transaction.atomic():
            changed = update_guarded(unit, version=version, values=values)
    except IntegrityError:
        raise _taken(values) from None
    if changed:
        words = field_words(Unit, changed)
        vin = _vin_words(unit) if "vin" in changed or "vin_reason" in changed else ""
        _record(unit, by, "changed", f"Changed unit {unit.number}: {words}{vin}.")


@transaction.atomic
def remove_unit(*, unit: Unit, by: Any) -> None:
    """Take away a unit entered by mistake. Nothing may have happened to it yet."""
    if unit.arrived_at:
        raise IntakeError(f"Unit {unit.number} has arrived and cannot be removed.")
    sentence = f"Removed unit {unit.number}{_vin_words(unit)}."
    try:
        with transaction.atomic():
            gone, _ = Unit.objects.filter(pk=unit.pk, arrived_at=None).delete()
    except ProtectedError:
        raise IntakeError(
            f"Unit {unit.number} has work or checks on record and cannot be removed."
        ) from None
    if gone:
        _record(unit, by, "removed", sentence)


def _vin_words(unit: Unit) -> str:
    if not unit.vin:
        return ""
    kept = f", kept with a wrong check digit because: {unit.vin_reason}" if unit.vin_reason else ""
    return f", VIN {unit.vin}{kept}"


def _record(unit: Unit, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=unit, job=unit.job.number, sentence=sentence)
