"""The planned weeks: a row for each unit, a column for each working day, and the load."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import islice

from django.utils import timezone

from jobs.buying.needs import BUILT
from jobs.intake.models import Unit
from jobs.planning.calendar import Calendar
from jobs.planning.models import PlanResource
from jobs.planning.rows import calendar_from, resources, settings_row
from jobs.stages.models import Stage

DAYS = 30
WEEK = 5
ROWS = 50
FULL = 110


@dataclass(frozen=True, kw_only=True, slots=True)
class DayCell:
    codes: tuple[str, ...]
    due: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class BoardRow:
    unit: Unit
    cells: list[DayCell]
    ends: date | None
    late: bool
    unplanned: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """One resource in one week: what the plan asks for of what there is, in percent.

    Stages are known by whole days here, so a full week may read a little over 100 %. None: there
    is work and nothing to do it with.
    """

    percent: int | None

    @property
    def over(self) -> bool:
        return self.percent is None or self.percent > FULL


@dataclass(frozen=True, kw_only=True, slots=True)
class Board:
    days: list[date]
    weeks: list[date]
    rows: list[BoardRow]
    loads: list[tuple[PlanResource, list[Load]]]
    more: bool


def board(start: date | None = None, after: int = 0) -> Board:
    """Six weeks from a day on, units promised soonest first, so many from the given place on."""
    calendar = calendar_from(start or timezone.localdate())
    days = list(islice(calendar.days(), DAYS))
    units = Unit.objects.filter(job__state__in=BUILT).select_related("job__agency")
    ordered = units.order_by("job__promised_on", "job_id", "id")
    shown = list(ordered[after : after + ROWS + 1])
    stages: dict[int, list[Stage]] = defaultdict(list)
    rows = Stage.objects.filter(unit__in=[unit.pk for unit in shown[:ROWS]])
    for stage in rows.exclude(state=Stage.State.SIGNED).order_by("unit_id", "position"):
        stages[stage.unit_id].append(stage)
    return Board(
        days=days,
        weeks=days[::WEEK],
        rows=[_row(unit, stages[unit.pk], days) for unit in shown[:ROWS]],
        loads=_loads(calendar, days),
        more=len(shown) > ROWS,
    )


def _row(unit: Unit, stages: list[Stage], days: list[date]) -> BoardRow:
    promised = unit.job.promised_on
    # Stages without hours have nothing to be planned.
    stages = [stage for stage in stages if stage.planned_minutes]
    dated = [stage for stage in stages if stage.planned_start and stage.planned_end]
    ends = max((stage.planned_end for stage in dated if stage.planned_end), default=None)
    return BoardRow(
        unit=unit,
        cells=[
            DayCell(
                codes=tuple(s.code for s in dated if s.planned_start <= day <= s.planned_end),  # type: ignore[operator]
                due=day == promised,
            )
            for day in days
        ],
        ends=ends,
        late=bool(ends and promised and ends > promised),
        unplanned=len(stages) - len(dated),
    )


def _loads(calendar: Calendar, days: list[date]) -> list[tuple[PlanResource, list[Load]]]:
    """Minutes of dated stages spread over their working days, against what a week has."""
    rows = Stage.objects.filter(
        unit__job__state__in=BUILT, state__in=(Stage.State.WAITING, Stage.State.WORKING),
        planned_start__lte=days[-1], planned_end__gte=days[0], planned_minutes__gt=0,
    ).values_list("code", "planned_minutes", "planned_start", "planned_end")  # fmt: skip
    stages = list(rows)
    per_day = settings_row().day_minutes
    return [(one, _weeks(one, stages, calendar, days, per_day)) for one in resources()]


def _weeks(
    one: PlanResource,
    stages: Iterable[tuple[str, int, date | None, date | None]],
    calendar: Calendar,
    days: list[date],
    per_day: int,
) -> list[Load]:
    asked: dict[date, float] = defaultdict(float)
    for code, minutes, first, last in stages:
        if (one.stages and code not in one.stages) or first is None or last is None:
            continue
        worked = max(1, round(calendar.end_of(last) / calendar.day_slots)
                     - round(calendar.first_slot(first) / calendar.day_slots))  # fmt: skip
        for day in days:
            if first <= day <= last:
                asked[day] += minutes / worked
    found = []
    for week in range(0, len(days), WEEK):
        some = days[week : week + WEEK]
        there = one.capacity * per_day * len(some)
        used = sum(asked[day] for day in some)
        nothing = None if used else 0
        found.append(Load(percent=round(100 * used / there) if there else nothing))
    return found
