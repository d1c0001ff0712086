"""What a person brings to a check, and what keeps it from being recorded."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal, InvalidOperation

from django.contrib.auth.models import User

from inspections.checklists.models import Check, Instrument, Result
from jobs.models import Photo, WorkEvent

Verdict = Result.Verdict
WORK = (WorkEvent.Kind.START, WorkEvent.Kind.STOP, WorkEvent.Kind.FINISH)
LARGEST_READING = Decimal("9999999")


class CheckError(Exception):
    """Why a result cannot be recorded; `field` names the form field it belongs to."""

    def __init__(self, message: str, field: str = "") -> None:
        super().__init__(message)
        self.field = field


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What a person brings to a check. `pressed` is pass, fail, na or empty for a note."""

    client_id: uuid.UUID
    pressed: str
    value_typed: str = ""
    reason: str = ""
    instrument: Instrument | None = None
    conditions: str = ""
    base_sequence: int = 0
    at_device: datetime | None = None
    # The version of the check on the person's screen; None: the newest.
    check_version: int | None = None
    device: str = ""


def parse_value(typed: str) -> Decimal | None:
    """The number in what was typed; comma or point. None for nothing typed."""
    text = typed.strip().replace(",", ".")
    if not text:
        return None
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise CheckError(f"{typed} is not a number.", "value_typed") from None
    if not value.is_finite() or abs(value) > LARGEST_READING:
        raise CheckError(f"{typed} is outside what can be measured.", "value_typed")
    return value.quantize(Decimal("0.0001"))


def computed_verdict(
    check: Check, value: Decimal | None, pressed: str, *, version: int | None = None
) -> str:
    """The verdict of a reading comes from its range; nobody can press a bad value to a pass.

    The range is that of the version which the person saw, else of the newest.
    """
    if pressed == Verdict.NOT_APPLICABLE or check.kind != Check.Kind.READING:
        return pressed
    if value is None:
        raise CheckError(
            f"{check.title} needs a reading in {check.unit_of_measure}.", "value_typed"
        )
    asked = check.asked(version or check.version)
    below = asked["low"] is not None and value < asked["low"]
    above = asked["high"] is not None and value > asked["high"]
    if below or above:
        return str(Verdict.FAIL)
    return pressed


def worked_in_stage(*, check: Check, person: User) -> bool:
    """Whether this person worked in the stage in which the checked thing was made."""
    worked = WorkEvent.objects.filter(person=person, kind__in=WORK)
    return (
        bool(check.made_in)
        and worked.filter(stage__unit_id=check.unit_id, stage__code=check.made_in).exists()
    )


def took_part(*, check: Check, person: User) -> bool:
    """Whether this person did the work that the check looks at, at first or as rework.

    Rework opens every check that it disturbed again; the record keeps who did that.
    """
    return (
        worked_in_stage(check=check, person=person)
        or check.results.filter(kind=Result.Kind.REOPEN, person=person).exists()
    )


def require_valid(check: Check, reading: Reading, photos: Sequence[Photo], on: date) -> None:
    """Everything that keeps a result from being recorded."""
    if reading.pressed not in (Verdict.PASS, Verdict.FAIL, Verdict.NOT_APPLICABLE):
        raise CheckError("Press Pass, Fail or Does not apply.", "pressed")
    if reading.pressed == Verdict.NOT_APPLICABLE and not reading.reason.strip():
        raise CheckError("Does not apply needs a reason.", "reason")
    if reading.pressed == Verdict.PASS and check.photo_required and not photos:
        raise CheckError(f"{check.title} needs a photo before it can pass.", "photos")
    instrument = reading.instrument
    if check.kind == Check.Kind.READING and reading.pressed != Verdict.NOT_APPLICABLE:
        if instrument is None and not check.instrument_needed:
            return
        if instrument is None:
            raise CheckError("Choose the instrument that gave the reading.", "instrument")
        due = instrument.calibration_due
        if due is not None and due < on:
            raise CheckError(
                f"{instrument} was due for calibration on {due:%-d %b %Y}; its reading is not "
                "valid. Choose another instrument.",
                "instrument",
            )
