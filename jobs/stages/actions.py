"""Moves on stages: one transaction, one line of history, and a double click changes nothing."""

from collections import defaultdict
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.build_sheet.models import BuildLine
from jobs.intake.models import FurnishedItem, Job, Unit
from jobs.stages.models import Hold, Stage, StageTemplate, WorkEvent
from jobs.stages.standard import STANDARD_STAGES
from jobs.stages.transitions import STATE_WORDS, next_state

Kind = WorkEvent.Kind
WORK_KINDS = (Kind.START, Kind.STOP, Kind.FINISH)
LONGEST_SHIFT_MINUTES = 16 * 60


class StageError(Exception):
    """Why a move is not possible, as a sentence for the person who tried it."""


@transaction.atomic
def ensure_templates() -> None:
    """Give a shop without stage templates the trade's usual ones."""
    if StageTemplate.objects.exists():
        return
    StageTemplate.objects.bulk_create(
        StageTemplate(position=position, **standard)
        for position, standard in enumerate(STANDARD_STAGES)
    )


@transaction.atomic
def plan_stages(*, unit: Unit, by: User | None) -> list[Stage]:
    """Give a unit its stages from the shop's templates; hours follow from its build lines.

    Planning again updates hours and adds stages that the templates gained; it never removes work.
    """
    ensure_templates()
    minutes = planned_minutes(unit)
    stages = {stage.code: stage for stage in unit.stages.all()}
    templates = list(StageTemplate.objects.all())
    for template in templates:
        stage = stages.get(template.code) or Stage(unit=unit, code=template.code)
        if stage.pk is None:
            stage.name, stage.position = template.name, template.position
            stage.instructions, stage.cautions = template.instructions, template.cautions
        stage.planned_minutes = minutes[template.code]
        stage.save()
        if template.code not in stages:
            Hold.objects.bulk_create(Hold(stage=stage, **hold) for hold in template.holds)
        stages[template.code] = stage
    for template in templates:
        wanted = [stages[code] for code in template.prerequisites if code in stages]
        stages[template.code].prerequisites.add(*wanted)
    record(
        by=by,
        verb="planned",
        subject=unit,
        job=unit.job.number,
        sentence=f"Planned {len(templates)} stages for unit {unit.number}.",
    )
    return list(unit.stages.all())


def planned_minutes(unit: Unit) -> dict[str, int]:
    """Minutes per stage code: quantity times the labour of each build line fitted there."""
    minutes: dict[str, int] = defaultdict(int)
    lines = BuildLine.objects.filter(job_id=unit.job_id).exclude(stage="")
    columns = ("stage", "quantity", "part__labour_minutes", "added_minutes")
    for code, quantity, each, added in lines.values_list(*columns):
        minutes[code] += max(0, quantity * each + added)
    return minutes


def blockers(stage: Stage) -> list[str]:
    """Everything that keeps the stage from starting, each as a sentence. Empty: it may start."""
    found = [
        f"{before.code} {before.name} is {STATE_WORDS[before.state]}."
        for before in stage.prerequisites.all()
        if before.state not in (Stage.State.FINISHED, Stage.State.SIGNED)
    ]
    found += [
        f"Hold {hold.code} is not released: {hold.requirement}."
        for hold in stage.holds.all()
        if hold.released_at is None
    ]
    items = FurnishedItem.objects.filter(
        job_id=stage.unit.job_id, needed_for_stage=stage.code, arrived_on=None, waived_reason=""
    )
    found += [f"{item.description} (agency furnished) has not arrived." for item in items]
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


def _event(
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
def start_work(*, stage: Stage, by: User, at: datetime | None = None) -> WorkEvent | None:
    """Start this person's timer. None when it already runs (a double click changes nothing)."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    if running_since(stage=stage, person=by):
        return None
    if stage.state == Stage.State.WAITING and (blocked := blockers(stage)):
        raise StageError(f"{stage.code} cannot start. " + " ".join(blocked))
    _require_approved(stage.unit.job)
    _move(stage, "start")
    return _event(stage, Kind.START, by, at=at or timezone.now())


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
    return _event(stage, Kind.STOP, by, at=at, minutes=_minutes(since, at, minutes))


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
    at = at or timezone.now()
    people = {event.person for event in stage.events.filter(kind=Kind.START)}
    for person in people:
        if since := running_since(stage=stage, person=person):
            _event(stage, Kind.STOP, person, at=at, minutes=_minutes(since, at, None))
    _move(stage, "finish")
    return _event(stage, Kind.FINISH, by, at=at, note=note)


@transaction.atomic
def reopen_stage(*, stage: Stage, by: User, reason: str) -> WorkEvent:
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    _move(stage, "reopen")
    Stage.objects.filter(pk=stage.pk).update(signed_by=None, signed_at=None)
    return _event(stage, Kind.REOPEN, by, at=timezone.now(), note=reason)


@transaction.atomic
def sign_stage(*, stage: Stage, by: User, at: datetime | None = None) -> WorkEvent:
    """Sign off the stage. The signer did no work on it. Open checks are the caller's business."""
    stage = Stage.objects.select_for_update().select_related("unit__job").get(pk=stage.pk)
    if worked_on(stage=stage, person=by):
        raise StageError(
            f"{display_name(by)} worked on {stage.code}; somebody else must sign it off."
        )
    _move(stage, "sign")
    at = at or timezone.now()
    Stage.objects.filter(pk=stage.pk).update(signed_by=by, signed_at=at)
    return _event(stage, Kind.SIGN, by, at=at)


def worked_on(*, stage: Stage, person: User) -> bool:
    return stage.events.filter(person=person, kind__in=WORK_KINDS).exists()


@transaction.atomic
def release_hold(*, hold: Hold, by: User, note: str = "", at: datetime | None = None) -> WorkEvent:
    """Release a hold. The releaser did none of the work that the hold looks at."""
    stage = hold.stage
    before = stage.prerequisites.filter(events__person=by, events__kind__in=WORK_KINDS).first()
    if before is not None:
        raise StageError(
            f"{display_name(by)} worked on {before.code}; somebody else must release {hold.code}."
        )
    at = at or timezone.now()
    changed = Hold.objects.filter(pk=hold.pk, released_at=None).update(
        released_by=by, released_at=at, note=note
    )
    if not changed:
        raise StageError(f"Hold {hold.code} is already released.")
    return _event(stage, Kind.RELEASE, by, at=at, note=f"{hold.code}. {note}".strip())


@transaction.atomic
def refuse_hold(*, hold: Hold, by: User, reason: str, at: datetime | None = None) -> WorkEvent:
    """Record that the hold was looked at and not released. The hold stays."""
    if not reason.strip():
        raise StageError(f"Say why hold {hold.code} is refused.")
    if hold.released_at is not None:
        raise StageError(f"Hold {hold.code} is already released.")
    note = f"{hold.code}: {reason}"
    return _event(hold.stage, Kind.REFUSE, by, at=at or timezone.now(), note=note)
