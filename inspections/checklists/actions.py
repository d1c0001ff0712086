"""Recording results. Append-only, idempotent by client id, chained per unit, verdict computed."""

import uuid
from collections.abc import Sequence
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.checklists.chain import payload_sha256
from inspections.checklists.events import append_event, refresh_state
from inspections.checklists.models import Check, Result, ResultPhoto
from inspections.checklists.readings import (
    CheckError,
    Reading,
    computed_verdict,
    parse_value,
    require_valid,
    took_part,
    worked_in_stage,
)
from jobs.audit.record import display_name, record
from jobs.models import Photo, Shop, Stage, Unit

__all__ = ["CheckError", "Reading", "record_result", "reopen_check", "took_part", "void_result"]


@transaction.atomic
def record_result(
    *, check: Check, by: User, reading: Reading, photos: Sequence[Photo] = ()
) -> Result:
    """Append one result and update the check's state. The same client id again returns the first.

    Raises CheckError with a sentence; then nothing was written.
    """
    unit = Unit.objects.select_for_update().get(pk=check.unit_id)
    check = Check.objects.select_related("stage", "unit__job").get(pk=check.pk)
    value = parse_value(reading.value_typed) if check.kind == Check.Kind.READING else None
    at_device = reading.at_device or timezone.now()
    seen = _seen_version(check, reading)
    payload = _payload(check, by, reading, value, photos) | {"check_version": seen}
    if (first := _replayed(reading, payload)) is not None:
        return first
    require_valid(check, reading, photos, timezone.localtime(at_device).date())
    _require_seen(unit, reading.base_sequence)
    verdict = computed_verdict(check, value, reading.pressed, version=seen)
    part = took_part(check=check, person=by)
    if part and not Shop.objects.filter(sole_trader=True).exists():
        place = check.made_in if worked_in_stage(check=check, person=by) else check.ref
        raise CheckError(f"{display_name(by)} worked on {place}; somebody else must check this.")
    result = append_event(
        unit,
        check,
        by,
        Result.Kind.RESULT,
        payload,
        client_id=reading.client_id,
        check_version=seen,
        late=_is_late(check),
        pressed=reading.pressed,
        verdict=verdict,
        value=value,
        value_typed=reading.value_typed.strip(),
        reason=reading.reason.strip(),
        instrument=reading.instrument,
        conditions=reading.conditions.strip(),
        base_sequence=reading.base_sequence,
        device=reading.device.strip()[:60],
        at_device=at_device,
        took_part=part,
    )
    ResultPhoto.objects.bulk_create(ResultPhoto(result=result, photo=photo) for photo in photos)
    refresh_state(check)
    return result


def _payload(
    check: Check, by: User, reading: Reading, value: Decimal | None, photos: Sequence[Photo]
) -> dict[str, object]:
    return {
        "check": check.key,
        "conditions": reading.conditions.strip(),
        "instrument": reading.instrument.asset if reading.instrument else "",
        "person": by.pk,
        "photos": sorted(photo.sha256 for photo in photos),
        "pressed": reading.pressed,
        "reason": reading.reason.strip(),
        "unit": check.unit_id,
        "value": str(value) if value is not None else "",
    }


def _seen_version(check: Check, reading: Reading) -> int:
    """The version of the question that was answered; nobody can answer one not asked yet."""
    seen = check.version if reading.check_version is None else reading.check_version
    if not 1 <= seen <= check.version:
        raise CheckError(
            f"This screen shows version {seen} of {check.ref}, but the newest is {check.version}. "
            "Open the check again."
        )
    return seen


def _is_late(check: Check) -> bool:
    """Whether a signature already covers the check, so that a result cannot simply count.

    A check that was opened again after its stage was signed waits for exactly such a result.
    """
    if Unit.objects.filter(pk=check.unit_id, release__isnull=False).exists():
        return True
    waits = check.state in (Check.State.OPEN, Check.State.AGAIN)
    return check.stage.state == Stage.State.SIGNED and not waits


def _replayed(reading: Reading, payload: dict[str, object]) -> Result | None:
    """The result already stored under this client id; an error when its content differs."""
    first = Result.objects.filter(client_id=reading.client_id).first()
    if first is not None and first.payload_sha256 != payload_sha256(payload):
        raise CheckError("This entry was already sent with another content; nothing was changed.")
    return first


def _require_seen(unit: Unit, base_sequence: int) -> None:
    """Nobody has seen an entry that does not exist; claiming it would hide a disagreement."""
    last = unit.results.order_by("sequence").last()
    newest = last.sequence if last else 0
    if base_sequence > newest:
        raise CheckError(
            f"This screen says it has seen entry {base_sequence}, but the newest is {newest}. "
            "Open the check again."
        )


@transaction.atomic
def void_result(
    *, result: Result, by: User, reason: str, client_id: uuid.UUID | None = None
) -> Result:
    """Take a result back. It stays in the record, struck, with who and why."""
    unit = Unit.objects.select_for_update().get(pk=result.unit_id)
    check = Check.objects.select_related("stage").get(pk=result.check_item_id)
    if result.kind != Result.Kind.RESULT or result.voided_by.exists():
        raise CheckError("This entry is already taken back.")
    if result.kept_by.exists():
        raise CheckError(f"A decision let entry {result.sequence} stand; it stays.")
    if check.stage.state == Stage.State.SIGNED:
        raise CheckError(f"{check.stage.code} is signed off; its results stay as they are.")
    if Unit.objects.filter(pk=unit.pk, release__isnull=False).exists():
        raise CheckError(f"Unit {unit.number} is released; its results stay as they are.")
    payload = {"check": check.key, "person": by.pk, "reason": reason, "voids": result.sequence}
    event = append_event(
        unit,
        check,
        by,
        Result.Kind.VOID,
        payload,
        client_id=client_id or uuid.uuid4(),
        reason=reason,
        voids=result,
        at_device=timezone.now(),
    )
    refresh_state(check)
    return event


@transaction.atomic
def reopen_check(*, check: Check, by: User, reason: str) -> Result:
    """Open a check again, for example because rework disturbed it. Earlier results stay."""
    unit = Unit.objects.select_for_update().get(pk=check.unit_id)
    payload = {"check": check.key, "person": by.pk, "reopen": reason}
    event = append_event(
        unit,
        check,
        by,
        Result.Kind.REOPEN,
        payload,
        client_id=uuid.uuid4(),
        reason=reason,
        at_device=timezone.now(),
    )
    refresh_state(check)
    return event


@transaction.atomic
def decide_check(*, check: Check, by: User, keeps: Result | None, seen: int, reason: str) -> Result:
    """Let one of the results stand, or none so that the check is done again. All of them stay.

    `seen` is the newest entry of the check that the person looked at when deciding.
    """
    unit = Unit.objects.select_for_update().get(pk=check.unit_id)
    check = Check.objects.select_related("stage", "unit__job").get(pk=check.pk)
    newest = check.results.order_by("sequence").last()
    if newest is None or newest.sequence != seen:
        raise CheckError(f"Something was recorded on {check.ref} meanwhile. Look again.")
    payload = {
        "check": check.key,
        "decide": reason,
        "keeps": keeps.sequence if keeps else 0,
        "person": by.pk,
    }
    event = append_event(
        unit,
        check,
        by,
        Result.Kind.DECIDE,
        payload,
        client_id=uuid.uuid4(),
        keeps=keeps,
        reason=reason,
        at_device=timezone.now(),
    )
    refresh_state(check)
    return event


def note_generated(*, unit: Unit, by: User | None, made: int, changed: int) -> None:
    record(
        by=by,
        verb="generated",
        subject=unit,
        job=unit.job.number,
        sentence=f"Checks of unit {unit.number}: {made} new, {changed} changed.",
    )
