"""What is to be planned: work in slots of working time, and who or what can do it. Plain values."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

SLOT_MINUTES = 30


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """One stage of one unit. It runs in one piece of working time.

    slots      how long it takes
    needs      resource and how many of it, for the whole time
    after      keys of tasks that must be over
    not_before the first slot in which it may run, and `because` of what
    """

    key: str
    job: str
    name: str
    slots: int
    needs: Mapping[str, int] = field(default_factory=dict)
    after: tuple[str, ...] = ()
    not_before: int = 0
    because: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Order:
    """A unit that has to be done by the end of a slot. `weight` says how much lateness hurts."""

    job: str
    due: int | None = None
    weight: int = 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """`slots` is how many there are days for; None: no end."""

    tasks: tuple[Task, ...]
    orders: tuple[Order, ...]
    capacity: Mapping[str, int]
    slots: int | None = None


def problems(shop: Shop) -> list[str]:
    """Why no plan can exist whatever the order, each as a sentence."""
    keys = {task.key for task in shop.tasks}
    found = []
    for task in shop.tasks:
        for name, amount in task.needs.items():
            if amount > shop.capacity.get(name, 0):
                found.append(
                    f"{task.job} {task.name} needs {amount} of {name}; "
                    f"there are {shop.capacity.get(name, 0)}."
                )
        if task.slots < 1:
            found.append(f"{task.job} {task.name} takes no time; leave it out.")
        found += [
            f"{task.job} {task.name} comes after {key}, which is not there."
            for key in task.after
            if key not in keys
        ]
    if not found and in_order(shop.tasks) is None:
        found.append("Stages wait for each other in a circle.")
    return found or [
        f"{job} cannot end within the days that can be planned. Look at its hours and at "
        "what it waits for."
        for job in too_late(shop, alone(shop))
    ]


def alone(shop: Shop) -> dict[str, int]:
    """When each task would end in an empty shop: sooner is not possible."""
    ends: dict[str, int] = {}
    for task in in_order(shop.tasks) or ():
        ends[task.key] = max([task.not_before, *(ends[key] for key in task.after)]) + task.slots
    return ends


def too_late(shop: Shop, ends: Mapping[str, int]) -> list[str]:
    """Jobs that end after the last slot there is a day for."""
    if shop.slots is None:
        return []
    return sorted({task.job for task in shop.tasks if ends[task.key] > shop.slots})


def in_order(tasks: Iterable[Task]) -> list[Task] | None:
    """The tasks, each after those it waits for; None when they wait in a circle."""
    waiting, done, ordered = list(tasks), set[str](), list[Task]()
    while waiting:
        ready = [task for task in waiting if all(key in done for key in task.after)]
        if not ready:
            return None
        ordered += ready
        done |= {task.key for task in ready}
        waiting = [task for task in waiting if task.key not in done]
    return ordered


def broken(shop: Shop, starts: Mapping[str, int]) -> list[str]:
    """What a plan breaks: an order, a day, a capacity. Empty for every plan that is shown."""
    ends = {task.key: starts[task.key] + task.slots for task in shop.tasks}
    found = [
        f"{job} ends after the last day that can be planned: there is too much work for what "
        "the shop has."
        for job in too_late(shop, ends)
    ]
    for task in shop.tasks:
        start = starts[task.key]
        if start < task.not_before:
            found.append(f"{task.key} starts before {task.because or 'it may'}")
        found += [
            f"{task.key} starts before {key} is over" for key in task.after if start < ends[key]
        ]
    for name, capacity in shop.capacity.items():
        users = [task for task in shop.tasks if task.needs.get(name)]
        for moment in {starts[task.key] for task in users}:
            used = sum(
                task.needs[name] for task in users if starts[task.key] <= moment < ends[task.key]
            )
            if used > capacity:
                found.append(f"{name} has {capacity}, the plan uses {used} in slot {moment}")
    return found


def cost(shop: Shop, starts: Mapping[str, int], late_weight: int) -> int:
    """What a plan costs: lateness counts `late_weight` a slot, the end of each unit one a slot."""
    total = 0
    for order in shop.orders:
        mine = [starts[task.key] + task.slots for task in shop.tasks if task.job == order.job]
        end = max(mine, default=0)
        late = max(0, end - order.due) if order.due is not None else 0
        total += end + late_weight * order.weight * late
    return total


def plain(shop: Shop) -> dict[str, Any]:
    """For keeping and comparing: the same shop gives the same words."""
    return {
        "tasks": [
            [t.key, t.job, t.slots, dict(t.needs), list(t.after), t.not_before] for t in shop.tasks
        ],
        "orders": [[o.job, o.due, o.weight] for o in shop.orders],
        "capacity": dict(shop.capacity),
    }
