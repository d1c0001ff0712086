"""What the stage pages show: one row per stage with its hours and what blocks it."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db.models import Q, QuerySet, Sum

from jobs.audit.record import display_name
from jobs.intake.models import Unit
from jobs.stages.actions import blockers
from jobs.stages.drawings import drawing_words, with_newest
from jobs.stages.models import Stage

STATUS_KEYS = {"waiting": "open", "working": "info", "finished": "wait", "signed": "pass"}


@dataclass(frozen=True, kw_only=True, slots=True)
class StageRow:
    stage: Stage
    status: str
    word: str
    blocked_by: list[str]
    booked_minutes: int
    people: list[str]
    drawing: str = ""

    @property
    def over(self) -> bool:
        return bool(self.stage.planned_minutes) and self.booked_minutes > self.stage.planned_minutes


def with_parts(stages: QuerySet[Stage]) -> QuerySet[Stage]:
    """Stages with everything a row needs, in a fixed number of queries."""
    return (
        with_newest(stages)
        .select_related("unit__job__agency", "signed_by")
        .prefetch_related("prerequisites", "holds__released_by", "people")
        .annotate(booked=Sum("events__minutes"))
    )


def row(stage: Stage, *, first_only: bool = False) -> StageRow:
    blocked = blockers(stage, first_only=first_only) if stage.state == Stage.State.WAITING else []
    status, word = STATUS_KEYS[stage.state], stage.get_state_display()
    if stage.state == Stage.State.WAITING:
        status, word = ("wait", "Cannot start yet") if blocked else ("open", "Ready to start")
    return StageRow(
        stage=stage,
        status=status,
        word=word,
        blocked_by=blocked,
        booked_minutes=getattr(stage, "booked", None) or 0,
        people=[display_name(person) for person in stage.people.all()],
        drawing=drawing_words(stage),
    )


def rows(stages: Iterable[Stage]) -> list[StageRow]:
    return [row(stage) for stage in stages]


def open_stages() -> QuerySet[Stage]:
    """Stages of units in the shop that still need work or a signature."""
    return Stage.objects.exclude(state=Stage.State.SIGNED).exclude(
        unit__job__state__in=["delivered", "cancelled", "enquiry", "quoted"]
    )


def units_in_work(after: int, size: int) -> list[int]:
    """Keys of units that have open stages, promised soonest first; one more than asked for."""
    units = Unit.objects.filter(stages__in=open_stages()).order_by("job__promised_on", "job", "id")
    return list(units.values_list("pk", flat=True).distinct()[after : after + size + 1])


def my_stages(person: User) -> QuerySet[Stage]:
    """A technician's work: given to them, started by them, or given to nobody yet."""
    mine = Q(people=person) | Q(people=None)
    return (
        with_parts(open_stages().filter(mine).exclude(state=Stage.State.FINISHED))
        .order_by("unit__job__promised_on", "unit", "position")
        .distinct()
    )
