"""Working out plans, keeping one, and asking whether a promise can be held."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.planning.models import PlanResource, PlanRun
from jobs.planning.plan import Plan, plan
from jobs.planning.rows import Picture, picture_of_shop
from jobs.planning.shop import SLOT_MINUTES, Order, Task
from jobs.planning.why import because
from jobs.stages.models import Stage, StageTemplate
from jobs.stages.planned import ensure_templates

REQUEST_SECONDS = 4.0
NEW = "new job"
# So much more does it hurt to make others late than to end a new job later.
OTHERS_FIRST = 20


class PlanError(Exception):
    """Why a plan cannot be kept, as a sentence."""


def ensure_resources() -> None:
    """A shop that never said what it has starts with two bays and three people."""
    if not PlanResource.objects.exists():
        PlanResource.objects.bulk_create(
            [PlanResource(name="Bays", capacity=2), PlanResource(name="People", capacity=3)],
            ignore_conflicts=True,
        )


def work_out(*, by: Any, without: str = "", more: Mapping[str, int] | None = None) -> PlanRun:
    """A plan of everything open, as a proposal. With a question in it, never more than that."""
    ensure_resources()
    picture = picture_of_shop(without=without, more=more)
    found = plan(picture.shop, seconds=REQUEST_SECONDS)
    said = [f"without job {without}"] if without else []
    said += [f"{extra:+d} {name}" for name, extra in (more or {}).items() if extra]
    title = f"If {', '.join(said)}" if said else "Plan of the shop"
    return PlanRun.objects.create(
        title=title[:160],
        question=bool(said),
        sha256=picture.sha256,
        result=_result(picture, found),
        made_by=display_name(by),
    )


def _result(picture: Picture, found: Plan) -> dict[str, Any]:
    days = {
        key: (picture.calendar.day_of(start), picture.calendar.day_of(start + task.slots - 1))
        for task in picture.shop.tasks
        for key, start in [(task.key, found.starts.get(task.key, 0))]
        if found.starts
    }
    return {
        "stages": {
            str(picture.stages[key].pk): [str(first), str(last)]
            for key, (first, last) in days.items()
        },
        "units": [_unit(picture, found, order) for order in picture.shop.orders if found.starts],
        "optimal": found.optimal,
        "gap": found.gap_percent,
        "problems": list(found.problems),
        "notes": picture.notes,
    }


def _unit(picture: Picture, found: Plan, order: Order) -> dict[str, Any]:
    mine = [task for task in picture.shop.tasks if task.job == order.job]
    end = max(found.starts[task.key] + task.slots for task in mine)
    late = order.due is not None and end > order.due
    promised = picture.units[order.job].job.promised_on
    return {
        "unit": order.job,
        "job": picture.units[order.job].job.number,
        "ends": str(picture.calendar.day_of(end - 1)),
        "promised": str(promised) if promised else "",
        "late": late,
        "because": because(picture.shop, found.starts, order.job) if late else "",
    }


@transaction.atomic
def keep_plan(*, run: PlanRun, by: Any) -> int:
    """Write the plan's days onto the stages, if the shop still is as it was then."""
    if run.question:
        raise PlanError("This plan answers a question; only a plan of the shop as it is is kept.")
    if run.result["problems"]:
        raise PlanError("There is no plan to keep. " + " ".join(run.result["problems"]))
    if picture_of_shop().sha256 != run.sha256:
        raise PlanError("The shop changed since this plan was made. Work it out again.")
    kept = PlanRun.objects.filter(pk=run.pk, kept_at=None).update(
        kept_at=timezone.now(), kept_by=display_name(by)
    )
    if not kept:
        raise PlanError("This plan is kept already.")
    stages = Stage.objects.filter(pk__in=run.result["stages"]).select_related("unit__job")
    moved: dict[str, list[str]] = {}
    for stage in stages:
        first, last = (date.fromisoformat(day) for day in run.result["stages"][str(stage.pk)])
        if (stage.planned_start, stage.planned_end) != (first, last):
            moved.setdefault(stage.unit.job.number, []).append(f"{stage.unit.number} {stage.code}")
            stage.planned_start, stage.planned_end = first, last
    Stage.objects.bulk_update(stages, ["planned_start", "planned_end"])
    for job, names in moved.items():
        sentence = f"Planned anew: {', '.join(names[:12])}{' ...' if len(names) > 12 else ''}."
        record(by=by, verb="planned", subject=run, job=job, sentence=sentence)
    return sum(len(names) for names in moved.values())


@dataclass(frozen=True, kw_only=True, slots=True)
class Promise:
    """Whether a new job can be done by a day: when it would end, why, and who would be late."""

    ends: date
    in_time: bool
    because: str
    others_late: list[dict[str, Any]]
    gap: int
    optimal: bool
    problems: list[str]
    notes: list[str]


def check_promise(
    *, minutes: Mapping[str, int], units: int, not_before: date, wished: date
) -> Promise:
    """Put a new job into the present load. Nothing is saved; others come first."""
    ensure_resources()
    picture = picture_of_shop()
    shop, calendar = picture.shop, picture.calendar
    tasks, orders = _new_job(minutes, units, picture, not_before, wished)
    old = tuple(
        Order(job=one.job, due=one.due, weight=one.weight * OTHERS_FIRST) for one in shop.orders
    )
    whole = replace(shop, tasks=(*shop.tasks, *tasks), orders=(*old, *orders))
    found = plan(whole, seconds=REQUEST_SECONDS)
    if found.problems or not tasks:
        problems = list(found.problems) or ["The new job has no hours, so nothing can be said."]
        return Promise(
            ends=wished, in_time=False, because="", others_late=[], gap=0, optimal=False,
            problems=problems, notes=picture.notes,
        )  # fmt: skip
    last = max(tasks, key=lambda task: found.starts[task.key] + task.slots)
    end = found.starts[last.key] + last.slots
    late = [_unit(picture, found, one) for one in shop.orders]
    return Promise(
        ends=calendar.day_of(end - 1),
        in_time=end <= calendar.end_of(wished),
        because=because(whole, found.starts, last.job),
        others_late=[one for one in late if one["late"]],
        gap=found.gap_percent,
        optimal=found.optimal,
        problems=[],
        notes=picture.notes,
    )


def _new_job(
    minutes: Mapping[str, int], units: int, picture: Picture, not_before: date, wished: date
) -> tuple[list[Task], list[Order]]:
    """The shop's usual stages with the hours asked about, for each unit."""
    ensure_templates()
    templates = list(StageTemplate.objects.all())
    asked = {one.code: -(-minutes.get(one.code, 0) // SLOT_MINUTES) for one in templates}
    before = {one.code: one.prerequisites for one in templates}
    means = list(PlanResource.objects.order_by("name"))
    first = picture.calendar.first_slot(not_before)
    due = picture.calendar.end_of(wished)
    tasks, orders = [], []
    for number in range(1, units + 1):
        job = f"{NEW} {number}" if units > 1 else NEW
        orders.append(Order(job=job, due=due))
        for one in templates:
            if not asked[one.code]:
                continue
            tasks.append(
                Task(
                    key=f"{job} {one.code}",
                    job=job,
                    name=one.code,
                    slots=asked[one.code],
                    needs={m.name: 1 for m in means if not m.stages or one.code in m.stages},
                    after=tuple(f"{job} {code}" for code in _with_hours(one.code, before, asked)),
                    not_before=first,
                    because="its vehicle",
                )
            )
    return tasks, orders


def _with_hours(code: str, before: Mapping[str, list[str]], asked: Mapping[str, int]) -> list[str]:
    """The stages before one that have hours; those without pass on what they wait for."""
    found: set[str] = set()
    waiting, seen = list(before.get(code, ())), set[str]()
    while waiting:
        one = waiting.pop()
        if one in seen:
            continue
        seen.add(one)
        if asked.get(one):
            found.add(one)
        else:
            waiting += before.get(one, [])
    return sorted(found)
