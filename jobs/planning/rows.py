"""The door from rows to the pure plan: open stages, promised days, parts that are on their way."""

import hashlib
import json
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.db.models import Exists, Max, OuterRef, Q, QuerySet, Sum
from django.utils import timezone

from catalog.models import Part
from jobs.buying.allocate import allocate
from jobs.buying.models import Purchase, PurchaseLine
from jobs.buying.needs import BUILT, open_needs, ordered_of, stock_of
from jobs.intake.models import FurnishedItem, Unit
from jobs.planning.calendar import Calendar
from jobs.planning.models import PlanResource, PlanSettings
from jobs.planning.shop import SLOT_MINUTES, Order, Shop, Task, plain
from jobs.stages.models import Stage

# More units at once are not searched well in the time of a page; the latest promised ones wait.
MOST_UNITS = 60
OPEN = (Stage.State.WAITING, Stage.State.WORKING)
Waits = Mapping[tuple[int, str], tuple[date, str]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """The shop as it is now. `notes` are sentences about what the plan does not know."""

    shop: Shop
    calendar: Calendar
    stages: dict[str, Stage]
    units: dict[str, Unit]
    notes: list[str] = field(default_factory=list)

    @property
    def sha256(self) -> str:
        text = json.dumps([plain(self.shop), str(self.calendar.start)], sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


def settings_row() -> PlanSettings:
    return PlanSettings.objects.filter(pk=1).first() or PlanSettings(pk=1)


def calendar_from(start: date) -> Calendar:
    row = settings_row()
    free = frozenset(date.fromisoformat(day) for day in row.free_days)
    return Calendar(start=start, day_slots=max(1, row.day_minutes // SLOT_MINUTES), free=free)


def resources() -> list[PlanResource]:
    return list(PlanResource.objects.order_by("name"))


def picture_of_shop(*, without: str = "", more: Mapping[str, int] | None = None) -> Picture:
    """Everything that is open, less one job, with more of some resources where that is asked."""
    calendar = calendar_from(timezone.localdate())
    units = _units(without)
    waits, notes = waiting_for_parts()
    more = more or {}
    means = resources()
    capacity = {one.name: max(0, one.capacity + more.get(one.name, 0)) for one in means}
    if len(units) > MOST_UNITS:
        notes.append(
            f"Only the {MOST_UNITS} units promised soonest are planned; "
            f"{len(units) - MOST_UNITS} more wait."
        )
        units = units[:MOST_UNITS]
    stages = _open_stages(units)
    tasks = [
        task for unit in units for task in _tasks(unit, stages[unit.pk], means, waits, calendar)
    ]
    names = {stage_key(stage): stage for rows in stages.values() for stage in rows}
    planned = {task.job for task in tasks}
    orders = [
        Order(job=unit_name(unit), due=_due(unit, calendar))
        for unit in units
        if unit_name(unit) in planned
    ]
    bare = [unit_name(unit) for unit in units if not unit.has_stages]  # type: ignore[attr-defined]
    if bare:
        notes.append(f"No stages are planned yet for {', '.join(bare[:8])}.")
    return Picture(
        shop=Shop(
            tasks=tuple(tasks), orders=tuple(orders), capacity=capacity, slots=calendar.slots
        ),
        calendar=calendar,
        stages=names,
        units={unit_name(unit): unit for unit in units},
        notes=notes,
    )


def unit_name(unit: Unit) -> str:
    return f"{unit.job.number} {unit.number}"


def stage_key(stage: Stage) -> str:
    return f"stage {stage.pk}"


def _due(unit: Unit, calendar: Calendar) -> int | None:
    return calendar.end_of(unit.job.promised_on) if unit.job.promised_on else None


def units_to_plan() -> QuerySet[Unit]:
    """Units of jobs that are being built, less those whose work is all done."""
    rows = Unit.objects.filter(job__state__in=BUILT).annotate(has_stages=Max("stages__id"))
    still_open = Stage.objects.filter(unit=OuterRef("pk"), state__in=OPEN)
    return rows.filter(Q(has_stages=None) | Exists(still_open))


def _units(without: str) -> list[Unit]:
    rows = units_to_plan().exclude(job__number=without)
    found = list(rows.select_related("job").order_by("job_id", "id"))
    return sorted(found, key=lambda unit: (unit.job.promised_on or date.max, unit.job_id, unit.pk))


def _open_stages(units: Iterable[Unit]) -> dict[int, list[Stage]]:
    rows = Stage.objects.filter(unit__in=[unit.pk for unit in units])
    rows = rows.annotate(booked=Sum("events__minutes")).prefetch_related("prerequisites")
    found: dict[int, list[Stage]] = defaultdict(list)
    for stage in rows.order_by("unit_id", "position"):
        found[stage.unit_id].append(stage)
    return found


def _tasks(
    unit: Unit, stages: list[Stage], means: list[PlanResource], waits: Waits, calendar: Calendar
) -> list[Task]:
    """Stages with hours left. One without hours passes on what it waits for."""
    left = {stage.pk: _slots_left(stage) for stage in stages}
    by_pk = {stage.pk: stage for stage in stages}
    tasks = []
    for stage in stages:
        if not left[stage.pk]:
            continue
        first, because = waits.get((unit.job_id, stage.code), (None, ""))
        tasks.append(
            Task(
                key=stage_key(stage),
                job=unit_name(unit),
                name=stage.code,
                slots=left[stage.pk],
                needs={one.name: 1 for one in means if not one.stages or stage.code in one.stages},
                after=tuple(sorted(_before(stage, by_pk, left))),
                not_before=calendar.first_slot(first) if first else 0,
                because=because,
            )
        )
    return tasks


def _slots_left(stage: Stage) -> int:
    if stage.state not in OPEN:
        return 0
    minutes = stage.planned_minutes - (stage.booked or 0)  # type: ignore[attr-defined]
    least = 1 if stage.state == Stage.State.WORKING else 0
    return max(least, math.ceil(minutes / SLOT_MINUTES))


def _before(stage: Stage, by_pk: Mapping[int, Stage], left: Mapping[int, int]) -> set[str]:
    found: set[str] = set()
    waiting, seen = list(stage.prerequisites.all()), set[int]()
    while waiting:
        one = waiting.pop()
        if one.pk in seen or one.pk not in by_pk:
            continue
        seen.add(one.pk)
        if left[one.pk]:
            found.add(stage_key(one))
        else:
            waiting += list(by_pk[one.pk].prerequisites.all())
    return found


def waiting_for_parts() -> tuple[dict[tuple[int, str], tuple[date, str]], list[str]]:
    """The day from which a stage has its parts and agency items, and what comes last."""
    found: dict[tuple[int, str], tuple[date, str]] = {}
    unknown: set[str] = set()
    numbers = dict(
        Unit.objects.filter(job__state__in=BUILT).values_list("job__number", "job_id").distinct()
    )
    for job, stage, day, what in (*_parts(unknown), *_furnished()):
        key = (numbers.get(job, 0), stage)
        if key[0] and (key not in found or day > found[key][0]):
            found[key] = (day, what)
    notes = []
    if unknown:
        some = ", ".join(sorted(unknown)[:6])
        more = f" and {len(unknown) - 6} more" if len(unknown) > 6 else ""
        notes.append(f"No lead time or arrival day is known of {some}{more}; taken as here.")
    return found, notes


def _parts(unknown: set[str]) -> Iterable[tuple[str, str, date, str]]:
    """Only in a shop that keeps its buying here; else parts count as being here."""
    if not Purchase.objects.exists():
        return
    needs = open_needs()
    stock, ordered = stock_of(needs), ordered_of(needs)
    expected = dict(
        PurchaseLine.objects.filter(purchase__state=Purchase.State.SENT)
        .values_list("part").annotate(day=Max("purchase__expected_on")).order_by()
    )  # fmt: skip
    parts = {part.pk: part for part in Part.objects.filter(pk__in=needs).select_related("current")}
    today = timezone.localdate()
    for key, wanted in needs.items():
        part = parts[key]
        lead = part.current.lead_days if part.current else None
        for share in allocate(wanted, in_stock=stock.get(key, 0), on_order=ordered.get(key, 0)):
            day = None
            if share.short:
                day = today + timedelta(days=lead) if lead is not None else None
            elif share.from_orders:
                day = expected.get(key)
            else:
                continue
            if day is None:
                unknown.add(part.code)
            elif share.need.stage:
                yield share.need.job, share.need.stage, day, f"part {part.code}"


def _furnished() -> Iterable[tuple[str, str, date, str]]:
    rows = FurnishedItem.objects.filter(
        job__state__in=BUILT, arrived_on=None, waived_reason="", expected_on__isnull=False
    ).exclude(needed_for_stage="")
    for item in rows.select_related("job"):
        assert item.expected_on is not None
        yield item.job.number, item.needed_for_stage, item.expected_on, f"{item} of the agency"
