"""Why a unit ends when it does: back from its last stage along whatever held each one up."""

from collections.abc import Mapping
from dataclasses import dataclass

from jobs.planning.shop import Shop, Task

MOST_STEPS = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """What held one task: `kind` is 'day', 'resource', 'stage' or 'now'."""

    task: Task
    kind: str
    what: str
    by: tuple[Task, ...] = ()


def chain(shop: Shop, starts: Mapping[str, int], job: str) -> list[Held]:
    """From the last stage of a unit back to what could have been started right away."""
    by_key = {task.key: task for task in shop.tasks}
    mine = [task for task in shop.tasks if task.job == job]
    if not mine:
        return []
    task = max(mine, key=lambda one: starts[one.key] + one.slots)
    found = [held(shop, starts, task)]
    while len(found) < MOST_STEPS and found[-1].kind in ("stage", "resource") and found[-1].by:
        before = max(found[-1].by, key=lambda one: starts[one.key] + one.slots)
        if any(one.task.key == before.key for one in found):
            break
        found.append(held(shop, starts, by_key[before.key]))
    return found


def held(shop: Shop, starts: Mapping[str, int], task: Task) -> Held:
    """Why a task of a tight plan does not start one slot earlier."""
    start = starts[task.key]
    if start == 0:
        return Held(task=task, kind="now", what="it starts at once")
    if start == task.not_before:
        return Held(task=task, kind="day", what=task.because or "its first day")
    ends = {one.key: starts[one.key] + one.slots for one in shop.tasks}
    for name, amount in task.needs.items():
        at = [
            one
            for one in shop.tasks
            if one.needs.get(name) and starts[one.key] <= start - 1 < ends[one.key]
        ]
        if sum(one.needs[name] for one in at) + amount > shop.capacity[name] and not any(
            ends[key] == start for key in task.after
        ):
            return Held(task=task, kind="resource", what=name, by=tuple(at))
    before = tuple(one for one in shop.tasks if one.key in task.after and ends[one.key] == start)
    if before:
        return Held(task=task, kind="stage", what=before[0].name, by=before)
    return Held(task=task, kind="resource", what=", ".join(task.needs) or "nothing", by=())


def because(shop: Shop, starts: Mapping[str, int], job: str) -> str:
    """The first thing beyond the unit's own work that holds it up, as a sentence."""
    for one in chain(shop, starts, job):
        if one.task.job != job:
            break
        if one.kind == "day":
            return f"{one.task.name} waits for {one.what}."
        if one.kind == "resource":
            who = ", ".join(sorted({f"{by.job} ({by.name})" for by in one.by})[:3])
            return f"{one.task.name} waits for {one.what}" + (f", held by {who}." if who else ".")
    return "Its own work takes that long, one stage after the other."
