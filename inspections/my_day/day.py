"""What waits for whom today. Reads only; each room keeps its own rules."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db.models import Count, F, Max, QuerySet

from catalog.models import Part
from inspections.checklists.models import Check
from inspections.defects.models import Defect
from inspections.my_day.decisions import count_words
from jobs.intake.spine import Action, Step, current, next_action, spines
from jobs.models import Job, Shop, Stage, Unit, WorkEvent
from jobs.stages.board import StageRow, my_stages, rows

SOON_DAYS = 14
MOST_ROWS = 50
CLOSED = (Job.State.DELIVERED, Job.State.CANCELLED)
IN_SHOP = (Job.State.APPROVED, Job.State.BUILDING)


@dataclass(frozen=True, kw_only=True, slots=True)
class JobRow:
    """A job, the step it is at, and what the reader can do about it."""

    job: Job
    step: Step | None
    action: Action | None
    days_left: int | None

    @property
    def at_risk(self) -> bool:
        done = self.job.state == Job.State.RELEASED
        return self.days_left is not None and self.days_left <= SOON_DAYS and not done

    @property
    def due_words(self) -> str:
        """How far the promised date is: "3 days late", "today", "in 12 days"."""
        if self.days_left is None:
            return "no date promised"
        if self.days_left == 0:
            return "today"
        words = count_words(abs(self.days_left), "day")
        return f"{words} late" if self.days_left < 0 else f"in {words}"


@dataclass(frozen=True, kw_only=True, slots=True)
class UnitRow:
    unit: Unit
    reasons: list[str]
    since: datetime | None


@dataclass(frozen=True, kw_only=True, slots=True)
class FirstStep:
    words: str
    why: str
    url_name: str
    done: bool = False
    is_next: bool = False


# --- Jobs ---


def open_jobs() -> QuerySet[Job]:
    """Jobs that are not over, the nearest promised date first."""
    found = Job.objects.exclude(state__in=CLOSED).select_related("agency")
    return found.order_by(F("promised_on").asc(nulls_last=True), "id")


def job_rows(jobs: Sequence[Job], roles: frozenset[str], today: date) -> list[JobRow]:
    steps = spines(jobs)
    return [
        JobRow(
            job=job,
            step=current(steps[job.pk]),
            action=next_action(steps[job.pk], roles),
            days_left=(job.promised_on - today).days if job.promised_on else None,
        )
        for job in jobs
    ]


# --- Bay ---


@dataclass(frozen=True, kw_only=True, slots=True)
class Work:
    """A technician's stages: what can be worked on now, and what is blocked."""

    now: list[StageRow]
    blocked: list[StageRow]

    @property
    def first_in_line(self) -> list[StageRow]:
        """What to look at when nothing can start."""
        return [] if self.now else self.blocked[:3]

    @property
    def later(self) -> list[StageRow]:
        return self.blocked[len(self.first_in_line) :]


def work_of(person: User) -> Work:
    found = rows(my_stages(person)[:MOST_ROWS])
    return Work(
        now=[row for row in found if not row.blocked_by],
        blocked=[row for row in found if row.blocked_by],
    )


def _per_unit(found: QuerySet, name: str = "unit") -> dict[int, int]:
    return dict(found.order_by().values_list(name).annotate(Count("id")))


def waiting_units() -> list[UnitRow]:
    """Units that need an inspector, the longest waiting first."""
    units = Unit.objects.filter(job__state__in=IN_SHOP, release=None).select_related("job__agency")
    finished = Stage.objects.filter(state=Stage.State.FINISHED)
    to_sign = _per_unit(finished)
    disputed = _per_unit(Check.objects.filter(state=Check.State.DECISION, retired=False))
    recheck = _per_unit(Defect.objects.filter(state=Defect.State.REWORKED))
    open_stages = _per_unit(Stage.objects.exclude(state=Stage.State.SIGNED))
    all_stages = _per_unit(Stage.objects.all())
    since = _finished_at(finished)
    found = []
    for unit in units:
        reasons = []
        if count := to_sign.get(unit.pk):
            reasons.append(f"{count_words(count, 'stage')} to sign off")
        if count := disputed.get(unit.pk):
            reasons.append(f"{count_words(count, 'check')} with two answers")
        if count := recheck.get(unit.pk):
            reasons.append(f"{count_words(count, 'defect')} to re-check")
        if unit.pk in all_stages and unit.pk not in open_stages:
            reasons.append("all stages signed off, ready for release")
        if reasons:
            found.append(UnitRow(unit=unit, reasons=reasons, since=since.get(unit.pk)))
    return sorted(found, key=lambda row: (row.since is None, row.since, row.unit.pk))


def _finished_at(stages: QuerySet[Stage]) -> dict[int, datetime]:
    """When the longest waiting finished stage of each unit was finished."""
    last = (
        stages.filter(events__kind=WorkEvent.Kind.FINISH)
        .values("unit", "id")
        .annotate(at=Max("events__at"))
        .order_by()
    )
    found: dict[int, datetime] = {}
    for line in last:
        found[line["unit"]] = min(line["at"], found.get(line["unit"], line["at"]))
    return found


# --- A new shop ---

FIRST_STEPS = (
    FirstStep(
        words="Set the rates",
        why="Quotes take labour rate, shop supplies and validity from the shop settings.",
        url_name="jobs:shop_settings",
    ),
    FirstStep(
        words="Add the people",
        why="A finished unit is inspected by somebody who did not build it.",
        url_name="jobs:people_list",
    ),
    FirstStep(
        words="Import the parts",
        why="Prices, weights and currents of quotes and designs come from the parts list.",
        url_name="catalog:part_list",
    ),
    FirstStep(
        words="Open the first job",
        why="Everything else follows from what the agency needs.",
        url_name="jobs:job_list",
    ),
)


def first_steps() -> list[FirstStep]:
    """What a shop that has just opened does next; empty once it has a job."""
    if Job.objects.exists():
        return []
    done = {
        "jobs:shop_settings": Shop.objects.filter(labour_rate_cents__gt=0).exists(),
        "jobs:people_list": User.objects.count() > 1,
        "catalog:part_list": Part.objects.exists(),
    }
    open_steps = [step for step in FIRST_STEPS if not done.get(step.url_name)]
    return [
        replace(step, done=bool(done.get(step.url_name)), is_next=step is open_steps[0])
        for step in FIRST_STEPS
    ]
