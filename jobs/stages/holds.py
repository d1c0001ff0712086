"""Holds: released or refused by a named other person, and what keeps one from being released."""

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name
from jobs.notices.actions import Kind as NoticeKind
from jobs.notices.actions import notify, office
from jobs.stages.actions import ALONE, DONE, WORK_KINDS, Kind, StageError, sole_trader, stage_event
from jobs.stages.gates import keeps_from_releasing
from jobs.stages.models import Hold, WorkEvent
from jobs.stages.transitions import STATE_WORDS


def hold_blockers(hold: Hold) -> list[str]:
    """What keeps a hold from being released: what it looks at is not finished, or a later gate."""
    unfinished = hold.stage.prerequisites.exclude(state__in=DONE).order_by("position")
    return [
        f"{before.code} {before.name} is {STATE_WORDS[before.state]}." for before in unfinished
    ] + keeps_from_releasing(hold)


@transaction.atomic
def release_hold(*, hold: Hold, by: User, note: str = "", at: datetime | None = None) -> WorkEvent:
    """Release a hold. The releaser did none of the work that the hold looks at."""
    stage = hold.stage
    before = stage.prerequisites.filter(events__person=by, events__kind__in=WORK_KINDS).first()
    if before is not None and not sole_trader():
        raise StageError(
            f"{display_name(by)} worked on {before.code}; somebody else must release {hold.code}."
        )
    if found := hold_blockers(hold):
        raise StageError(f"Hold {hold.code} cannot be released. " + " ".join(found))
    if before is not None:
        note = f"{note} {ALONE}".strip()
    at = at or timezone.now()
    changed = Hold.objects.filter(pk=hold.pk, released_at=None).update(
        released_by=by, released_at=at, note=note
    )
    if not changed:
        raise StageError(f"Hold {hold.code} is already released.")
    return stage_event(stage, Kind.RELEASE, by, at=at, note=f"{hold.code}. {note}".strip())


@transaction.atomic
def refuse_hold(*, hold: Hold, by: User, reason: str, at: datetime | None = None) -> WorkEvent:
    """Record that the hold was looked at and not released. The hold stays."""
    if not reason.strip():
        raise StageError(f"Say why hold {hold.code} is refused.")
    if hold.released_at is not None:
        raise StageError(f"Hold {hold.code} is already released.")
    note = f"{hold.code}: {reason}"
    unit = hold.stage.unit
    notify(
        kind=NoticeKind.HOLD, to=office(), job=unit.job.number, by=by, hold=hold.code,
        reason=reason, stage=str(hold.stage), unit=unit.number, name=display_name(by),
    )  # fmt: skip
    return stage_event(hold.stage, Kind.REFUSE, by, at=at or timezone.now(), note=note)
