"""Service cases: open, write down, swap parts, close. Every step tells the history."""

from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from inspections.as_built.actions import keep_changes, revise
from inspections.handover.warranty import began_on, ends_on
from inspections.service.models import Case, PartSwap
from jobs.audit.record import display_name, record
from jobs.models import BuildLine, Circuit, Serial, Unit


class ServiceError(Exception):
    """Why a step is not possible, as a sentence."""


def _tell(case: Case, by: Any, verb: str, sentence: str) -> None:
    unit = case.unit
    sentence = f"{case} of {unit.number}: {sentence}"
    record(by=by, verb=verb, subject=case, job=unit.job.number, sentence=sentence)


@transaction.atomic
def open_case(*, unit: Unit, by: User, **facts: Any) -> Case:
    unit = Unit.objects.select_for_update().select_related("job").get(pk=unit.pk)
    last = unit.cases.order_by("number").last()
    if last and last.closed_at is None and _is_same(last, opened_by=display_name(by), **facts):
        return last  # the second of two clicks
    case = Case.objects.create(
        unit=unit, number=last.number + 1 if last else 1, opened_by=display_name(by), **facts
    )
    _tell(case, by, "opened", case.symptom)
    return case


def _is_same(case: Case, **facts: Any) -> bool:
    return all(str(getattr(case, name)) == str(value) for name, value in facts.items())


@transaction.atomic
def write_case(*, case: Case, version: int, values: dict[str, Any], by: User) -> None:
    """What was found and done. Not on a closed case, not over somebody else's text."""
    changed = Case.objects.filter(pk=case.pk, version=version, closed_at=None).update(
        **values, version=F("version") + 1
    )
    if not changed:
        raise ServiceError(
            f"{case} was changed or closed by somebody else while you had it open. "
            "What you typed is kept below; open the case again to compare."
        )
    case.refresh_from_db()
    _tell(case, by, "changed", f"{case.get_cause_display() or 'no cause yet'}. {case.found}")


@transaction.atomic
def swap_part(
    *,
    case: Case,
    line: BuildLine,
    by: User,
    serial_out: str = "",
    serial_in: str = "",
    quantity: int = 1,
    note: str = "",
) -> PartSwap:
    """A part out and another in. Serial numbers on record follow, as the next as-built revision."""
    case = _locked(case)
    unit = Unit.objects.select_for_update().select_related("job").get(pk=case.unit_id)
    fitted = unit.serials.filter(line=line)
    if serial_out:
        if not fitted.filter(serial=serial_out).exists():
            known = ", ".join(fitted.values_list("serial", flat=True)) or "none"
            raise ServiceError(
                f"Serial number {serial_out} is not on {line.ref} of {unit.number}; "
                f"on record there: {known}."
            )
        fitted.filter(serial=serial_out).delete()
    if serial_in:
        _, made = Serial.objects.get_or_create(unit=unit, line=line, serial=serial_in)
        if not made:
            raise ServiceError(f"Serial number {serial_in} is fitted on {line.ref} already.")
    swap, made = PartSwap.objects.get_or_create(
        case=case,
        line=line,
        serial_out=serial_out,
        serial_in=serial_in,
        quantity=quantity,
        note=note,
        defaults={"by": display_name(by)},
    )
    if not made:
        raise ServiceError(
            f"{case} has this already: {quantity} × {swap}. A remark tells a second one apart."
        )
    if serial_out != serial_in:
        change = {
            "about": line.ref,
            "what": "serial_number",
            "before": serial_out,
            "after": serial_in,
        }
        keep_changes(unit=unit, changes=[change], reason=f"{case}: {case.symptom}", by=by)
    _tell(case, by, "swapped", f"{quantity} × {swap}")
    return swap


@transaction.atomic
def change_as_built(
    *, case: Case, circuit: Circuit, what: str, value: str, reason: str, by: User
) -> None:
    """The repair left the vehicle different from its papers."""
    case = _locked(case)
    text = f"{case}: {reason}"
    revise(unit=case.unit, circuit=circuit, what=what, value=value, reason=text, by=by)


@transaction.atomic
def close_case(*, case: Case, by: User) -> Case:
    case = _locked(case)
    missing = [
        word
        for word, value in (("found", case.found), ("done", case.done), ("cause", case.cause))
        if not value
    ]
    if missing:
        raise ServiceError(f"{case} cannot be closed: write down {', '.join(missing)} first.")
    closed = Case.objects.filter(pk=case.pk, closed_at=None).update(
        closed_at=timezone.now(), closed_by=display_name(by), version=F("version") + 1
    )
    if not closed:
        raise ServiceError(f"{case} is closed already.")
    _tell(case, by, "closed", case.done)
    return Case.objects.get(pk=case.pk)


def _locked(case: Case) -> Case:
    found = Case.objects.select_for_update().select_related("unit__job").get(pk=case.pk)
    if found.closed_at:
        raise ServiceError(f"{found} is closed; open a new one.")
    return found


def cover_of(case: Case, line: BuildLine) -> tuple[bool | None, date | None]:
    """Whether the part was under warranty on the day of the visit, and until when."""
    end = ends_on(line.part.warranty_months, began_on(case.unit))
    return (None, None) if end is None else (case.on <= end, end)
