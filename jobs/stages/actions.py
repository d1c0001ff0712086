"""Moves on stages: one transaction, one line of history, and a double click changes nothing."""

from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.intake.models import FurnishedItem, Job
from jobs.people.models import Shop
from jobs.quoting.models import ChangeOrder
from jobs.stages.drawings import drawing_words, newest_number
from jobs.stages.for_changes import waiting_for_answers, why_no_hours
from jobs.stages.gates import keeps_from_starting
from jobs.stages.models import ChangeWork, Stage, WorkEvent
from jobs.stages.planned import ensure_templates, plan_stages, planned_minutes
from jobs.stages.transitions import STATE_WORDS, next_state

__all__ = ["ensure_templates", "plan_stages", "planned_minutes"]

Kind = WorkEvent.Kind
WORK_KINDS = (Kind.START, Kind.STOP, Kind.FINISH)
DONE = (Stage.State.FINISHED, Stage.State.SIGNED)
LONGEST_SHIFT_MINUTES = 16 * 60


ALONE = "By a person who took part in the work (sole trader)."


class StageError(Exception):
    """Why a move is not possible, as a sentence for the person who tried it."""


def blockers(stage: Stage, *, first_only: bool = False) -> list[str]:
    """Everything that keeps the stage from starting, each as a sentence. Empty: it may start.

    Lists ask for the first reasons only: what its own work waits for needs no further looking.
    """
    found = [
        f"{before.code} {before.name} is {STATE_WORDS[before.state]}."
        for before in stage.prerequisites.all()
        if before.state not in DONE
    ]
    found += [
        f"Hold {hold.code} is not released: {hold.requirement}."
        for hold in stage.holds.all()
        if hold.released_at is None
    ]
    if found and first_only:
        return found
    items = FurnishedItem.objects.filter(
        job_id=stage.unit.job_id, needed_for_stage=stage.code, arrived_on=None, waived_reason=""
    )
    found += [f"{item.description} (agency furnished) has not arrived." for item in items]
    found += keeps_from_starting(stage)
    found += waiting_for_answers(stage)
    return found


def running_since(*, stage: Stage, person: User) -> datetime | None:
    """When this person's timer on the stage was started, or None when it is not running."""
    last = stage.events.filter(person=person, kind__in=WORK_KINDS).order_by("at", "id").last()
    return last.at if last and last.kind == Kind.START else None


def _move(stage: Stage, move: str) -> None:
    """Conditional update: whoever comes second learns that somebody was faster."""
    target = next_state(state=stage.state, move=move)
    if target is None:
        raise StageError(f"{stage.code} is {STATE_WORDS[stage.state]}; it cannot {move} now.")
    changed = Stage.objects.filter(pk=stage.pk, state=stage.state).update(state=target)
    if not changed:
        raise StageError(f"{stage.code} was changed by somebody else just now. Look again.")
    stage.state = target


def stage_event(
    stage: Stage, kind: str, person: User, *, at: datetime, minutes: int = 0, note: str = ""
) -> WorkEvent:
    event = WorkEvent.objects.create(
        stage=stage, kind=kind, person=person, at=at, minutes=minutes, note=note
    )
    words = f" ({minutes} min)" if minutes else ""
    record(
        by=person,
        verb=kind,
        subject=stage,
        job=stage.unit.job.number,
        sentence=f"{stage.code} {stage.name} on {stage.unit.number}: "
        f"{event.get_kind_display().lower()}{words}. {note}".strip(),
    )
    return event


@transaction.atomic
def start_work(
    *, stage: Stage, by: User, at: datetime | None = None, change: ChangeOrder | None = None
) -> WorkEvent | None:
    """Start this person's timer. None when it already runs (a double click changes nothing).

    `change` is the approved change that the work is for.
    """
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    if running_since(stage=stage, person=by):
        return None
    if stage.state == Stage.State.WAITING and (blocked := blockers(stage)):
        raise StageError(f"{stage.code} cannot start. " + " ".join(blocked))
    _require_approved(stage.unit.job)
    if change is not None and (sentence := why_no_hours(change)):
        raise StageError(sentence)
    _move(stage, "start")
    if stage.drawing is None:
        drawing = newest_number(stage.unit.job_id)
        Stage.objects.filter(pk=stage.pk).update(drawing=drawing)
    note = f"For {change}." if change else ""
    event = stage_event(stage, Kind.START, by, at=at or timezone.now(), note=note)
    if change is not None:
        ChangeWork.objects.create(event=event, change=change)
    return event


def _require_approved(job: Job) -> None:
    """Hours are booked against an approved quote only; the first ones put the job in work."""
    if job.state in (Job.State.ENQUIRY, Job.State.QUOTED, Job.State.CANCELLED):
        raise StageError(
            f"Job {job.number} is “{job.get_state_display()}”; hours can be booked once its "
            "quote is approved."
        )
    Job.objects.filter(pk=job.pk, state=Job.State.APPROVED).update(state=Job.State.BUILDING)


@transaction.atomic
def stop_work(
    *, stage: Stage, by: User, at: datetime | None = None, minutes: int | None = None
) -> WorkEvent | None:
    """Stop the timer and book its minutes (or the minutes given). None when it does not run."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    since = running_since(stage=stage, person=by)
    if since is None:
        return None
    at = at or timezone.now()
    return stage_event(stage, Kind.STOP, by, at=at, minutes=_minutes(since, at, minutes))


def _require_newest_drawing(stage: Stage) -> None:
    if words := drawing_words(stage):
        raise StageError(f"{stage.code}: {words} Look at what changed and acknowledge it first.")


def _minutes(since: datetime, at: datetime, given: int | None) -> int:
    """Booked minutes: as given, else timer time; a forgotten timer books one shift at most."""
    if given is not None:
        if not 0 <= given <= LONGEST_SHIFT_MINUTES:
            raise StageError(f"{given} minutes is outside 0 to {LONGEST_SHIFT_MINUTES}.")
        return given
    return min(max(int((at - since).total_seconds() // 60), 0), LONGEST_SHIFT_MINUTES)


@transaction.atomic
def finish_stage(
    *, stage: Stage, by: User, at: datetime | None = None, note: str = ""
) -> WorkEvent:
    """Work is done; every running timer of the stage stops and books its time."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    _require_newest_drawing(stage)
    at = at or timezone.now()
    people = {event.person for event in stage.events.filter(kind=Kind.START)}
    for person in people:
        if since := running_since(stage=stage, person=person):
            stage_event(stage, Kind.STOP, person, at=at, minutes=_minutes(since, at, None))
    _move(stage, "finish")
    return stage_event(stage, Kind.FINISH, by, at=at, note=note)


@transaction.atomic
def reopen_stage(*, stage: Stage, by: User, reason: str) -> WorkEvent:
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    _move(stage, "reopen")
    Stage.objects.filter(pk=stage.pk).update(signed_by=None, signed_at=None)
    return stage_event(stage, Kind.REOPEN, by, at=timezone.now(), note=reason)


@transaction.atomic
def sign_stage(*, stage: Stage, by: User, at: datetime | None = None) -> WorkEvent:
    """Sign off the stage. The signer did no work on it. Open checks are the caller's business."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    alone = worked_on(stage=stage, person=by)
    if alone and not sole_trader():
        raise StageError(
            f"{display_name(by)} worked on {stage.code}; somebody else must sign it off."
        )
    _require_newest_drawing(stage)
    _move(stage, "sign")
    at = at or timezone.now()
    Stage.objects.filter(pk=stage.pk).update(signed_by=by, signed_at=at)
    return stage_event(stage, Kind.SIGN, by, at=at, note=ALONE if alone else "")


def sole_trader() -> bool:
    return Shop.objects.filter(sole_trader=True).exists()


def worked_on(*, stage: Stage, person: User) -> bool:
    return stage.events.filter(person=person, kind__in=WORK_KINDS).exists()
