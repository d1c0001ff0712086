"""Recording results. Append-only, idempotent by client id, chained per unit, verdict computed."""

import uuid
from collections.abc import Sequence
from decimal import Decimal

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.checklists import state as rules
from inspections.checklists.chain import link, outcome_sha256, payload_sha256
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
    payload = _payload(check, by, reading, value, photos)
    if (first := _replayed(reading, payload)) is not None:
        return first
    require_valid(check, reading, photos, timezone.localtime(at_device).date())
    _require_seen(unit, reading.base_sequence)
    verdict = computed_verdict(check, value, reading.pressed)
    part = took_part(check=check, person=by)
    if part and not Shop.objects.filter(sole_trader=True).exists():
        place = check.made_in if worked_in_stage(check=check, person=by) else check.ref
        raise CheckError(f"{display_name(by)} worked on {place}; somebody else must check this.")
    result = _append(
        unit,
        check,
        by,
        Result.Kind.RESULT,
        payload,
        client_id=reading.client_id,
        pressed=reading.pressed,
        verdict=verdict,
        value=value,
        value_typed=reading.value_typed.strip(),
        reason=reading.reason.strip(),
        instrument=reading.instrument,
        conditions=reading.conditions.strip(),
        base_sequence=reading.base_sequence,
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
        "check_version": check.version,
        "conditions": reading.conditions.strip(),
        "instrument": reading.instrument.asset if reading.instrument else "",
        "person": by.pk,
        "photos": sorted(photo.sha256 for photo in photos),
        "pressed": reading.pressed,
        "reason": reading.reason.strip(),
        "unit": check.unit_id,
        "value": str(value) if value is not None else "",
    }


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


def _append(
    unit: Unit, check: Check, by: User, kind: str, payload: dict[str, object], **fields: object
) -> Result:
    """Add the next link of the unit's chain. The caller holds the unit's row lock."""
    last = unit.results.order_by("sequence").last()
    sequence = last.sequence + 1 if last else 1
    previous = last.digest if last else ""
    sha = payload_sha256(payload)
    result = Result(
        unit=unit,
        check_item=check,
        check_version=check.version,
        kind=kind,
        person=by,
        received_at=timezone.now(),
        payload_sha256=sha,
        sequence=sequence,
        previous_digest=previous,
        **fields,
    )
    result.digest = link(
        previous=previous,
        sequence=sequence,
        payload_sha=sha,
        outcome_sha=outcome_sha256(result),
    )
    result.save()
    return result


@transaction.atomic
def void_result(
    *, result: Result, by: User, reason: str, client_id: uuid.UUID | None = None
) -> Result:
    """Take a result back. It stays in the record, struck, with who and why."""
    unit = Unit.objects.select_for_update().get(pk=result.unit_id)
    check = Check.objects.select_related("stage").get(pk=result.check_item_id)
    if result.kind != Result.Kind.RESULT or result.voided_by.exists():
        raise CheckError("This entry is already taken back.")
    if check.stage.state == Stage.State.SIGNED:
        raise CheckError(f"{check.stage.code} is signed off; its results stay as they are.")
    if Unit.objects.filter(pk=unit.pk, release__isnull=False).exists():
        raise CheckError(f"Unit {unit.number} is released; its results stay as they are.")
    payload = {"check": check.key, "person": by.pk, "reason": reason, "voids": result.sequence}
    event = _append(
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
    event = _append(
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


def events_of(check: Check) -> list[rules.Event]:
    """The check's events in the plain form of state.py."""
    found = check.results.order_by("sequence").values_list(
        "sequence",
        "kind",
        "verdict",
        "person_id",
        "check_version",
        "base_sequence",
        "voids__sequence",
    )
    return [
        rules.Event(
            sequence=sequence,
            kind=kind,
            verdict=verdict,
            person=person,
            check_version=version,
            base_sequence=base,
            voids=voids or 0,
        )
        for sequence, kind, verdict, person, version, base, voids in found
    ]


def refresh_state(check: Check) -> str:
    """Recompute the state kept for lists. Runs inside the transaction that added the event."""
    state = rules.state_of(events_of(check), version=check.version)
    Check.objects.filter(pk=check.pk).update(state=state)
    check.state = state
    return state


def note_generated(*, unit: Unit, by: User | None, made: int, changed: int) -> None:
    record(
        by=by,
        verb="generated",
        subject=unit,
        job=unit.job.number,
        sentence=f"Checks of unit {unit.number}: {made} new, {changed} changed.",
    )
