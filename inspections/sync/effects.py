"""What each kind of event does. Runs inside the transaction that stores the event."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.utils import timezone

from config.access import TECHNICIAN, has_role
from inspections.checklists.actions import void_result
from inspections.checklists.models import Check, Instrument, Result
from inspections.checklists.notes import record_note
from inspections.checklists.readings import CheckError, Reading
from inspections.defects.actions import record_check
from inspections.sync.aside import set_aside
from inspections.sync.models import DeviceEvent
from jobs.models import Photo, Stage
from jobs.stages.actions import start_work, stop_work

Answer = DeviceEvent.Answer


class Waits(Exception):
    """The entry builds on another one that is not recorded yet."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Done:
    answer: str = Answer.ACCEPTED
    sentence: str = ""


def corrected(row: DeviceEvent) -> datetime:
    """When it happened by our clock; never in the future."""
    return min(row.at_device - timedelta(milliseconds=row.clock_ms), timezone.now())


def _check(row: DeviceEvent) -> Check:
    body = row.body
    found = (
        Check.objects.select_related("unit__job", "stage")
        .filter(unit__job__number=body["job"], unit__number=body["unit"], ref=body["check"])
        .first()
    )
    if found is None:
        raise CheckError(f"Unit {body['unit']} of {body['job']} has no check {body['check']}.")
    return found


def _instrument(row: DeviceEvent) -> Instrument | None:
    """The instrument, if it was in date by our clock too: a tablet's own may be wrong."""
    number = row.body["instrument"]
    if not number:
        return None
    found = Instrument.objects.filter(pk=number).first()
    if found is None:
        raise CheckError("The instrument of this reading is not known here.")
    due = found.calibration_due
    if due is not None and due < timezone.localtime(corrected(row)).date():
        raise CheckError(
            f"{found} was due for calibration on {due:%-d %b %Y}; its reading is not valid. "
            "Choose another instrument."
        )
    return found


def _photos(row: DeviceEvent) -> list[Photo]:
    return list(Photo.objects.filter(sha256__in=row.body["photos"]).order_by("sha256"))


def _result(row: DeviceEvent, by: User) -> Done:
    check, body = _check(row), row.body
    reading = Reading(
        client_id=row.client_id,
        pressed=body["pressed"],
        value_typed=body["value_typed"],
        reason=body["reason"],
        instrument=_instrument(row),
        conditions=body["conditions"],
        base_sequence=body["base_sequence"] or 0,
        at_device=row.at_device,
        check_version=body["check_version"],
        device=row.device_words,
    )
    result, defect = record_check(check=check, by=by, reading=reading, photos=_photos(row))
    check.refresh_from_db(fields=["state", "version"])
    opened = f"Defect {defect} is open." if defect else ""
    if result.late:
        return Done(answer=Answer.LATE, sentence=f"Sent as late evidence. {opened}".strip())
    if check.state == Check.State.DECISION:
        sentence = f"{check.ref} has two answers now; somebody decides between them. {opened}"
        return Done(answer=Answer.CONFLICT, sentence=sentence.strip())
    if check.state == Check.State.AGAIN:
        return Done(
            answer=Answer.CONFLICT,
            sentence=f"{check.ref} was changed meanwhile; it is to be checked again.",
        )
    return Done(sentence=opened)


def _void(row: DeviceEvent, by: User) -> Done:
    """Take a result back. What was never recorded is set aside instead."""
    reason, target = row.body["reason"], row.body["of"]
    result = Result.objects.filter(client_id=target).first()
    if result is None:
        return _void_unrecorded(target, by, reason)
    if result.person_id != by.pk:
        raise CheckError("Only the person who recorded a result can take it back.")
    if result.check_item_id != _check(row).pk:
        raise CheckError(f"The entry to take back is not about {row.body['check']}.")
    reason = reason or "Taken back by the same person"
    void_result(result=result, by=by, reason=reason, client_id=row.client_id)
    return Done()


def _void_unrecorded(target: str, by: User, reason: str) -> Done:
    before = DeviceEvent.objects.filter(client_id=target, person=by).first()
    if before is None:
        raise CheckError("The entry to take back is not known here.")
    if before.answer == Answer.WAITING:
        raise Waits
    if before.answer == Answer.REFUSED:
        set_aside(row=before, by=by, reason=reason or "Taken back")
    return Done()


def _note(row: DeviceEvent, by: User) -> Done:
    record_note(
        check=_check(row),
        by=by,
        text=row.body["reason"],
        photos=_photos(row),
        client_id=row.client_id,
        at_device=row.at_device,
    )
    return Done()


def _work(row: DeviceEvent, by: User) -> Done:
    """Start or stop a timer. A second start or stop changes nothing, as on the page."""
    body = row.body
    stage = (
        Stage.objects.select_related("unit__job")
        .filter(unit__job__number=body["job"], unit__number=body["unit"], code=body["stage"])
        .first()
    )
    if stage is None:
        raise CheckError(f"Unit {body['unit']} of {body['job']} has no stage {body['stage']}.")
    if not has_role(by, TECHNICIAN):
        raise CheckError("Only technicians book hours.")
    move = start_work if row.kind == DeviceEvent.Kind.WORK_START else stop_work
    moved = move(stage=stage, by=by, at=corrected(row))
    return Done(sentence="" if moved else "The timer was already so; nothing was booked twice.")


def _set_aside(row: DeviceEvent, by: User) -> Done:
    before = DeviceEvent.objects.filter(client_id=row.body["of"], person=by).first()
    if before is None:
        raise CheckError("The entry to set aside is not known here.")
    set_aside(row=before, by=by, reason=row.body["reason"])
    return Done()


EFFECTS: dict[str, Callable[[DeviceEvent, User], Done]] = {
    DeviceEvent.Kind.RESULT: _result,
    DeviceEvent.Kind.VOID: _void,
    DeviceEvent.Kind.NOTE: _note,
    DeviceEvent.Kind.WORK_START: _work,
    DeviceEvent.Kind.WORK_STOP: _work,
    DeviceEvent.Kind.SET_ASIDE: _set_aside,
}
