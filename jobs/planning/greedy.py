"""Putting one task after the other as early as it fits. Gives a plan at once, and tightens one."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from jobs.planning.shop import Shop, Task

Used = dict[str, dict[int, int]]


def by_due_day(shop: Shop) -> dict[str, int]:
    """A plan that takes units by their due day: not the best, but always one that holds."""
    due = {
        order.job: (order.due is None, order.due or 0, place)
        for place, order in enumerate(shop.orders)
    }
    left = {task.key: task for task in shop.tasks}
    order: list[Task] = []
    done: set[str] = set()
    while left:
        ready = [task for task in left.values() if all(key in done for key in task.after)]
        first = min(ready, key=lambda task: (due[task.job], task.not_before, task.key))
        order.append(first)
        done.add(first.key)
        del left[first.key]
    return as_early_as_possible(shop, order)


def tightened(shop: Shop, starts: Mapping[str, int]) -> dict[str, int]:
    """The same order of starts with every gap closed: no task could start earlier by itself."""
    return as_early_as_possible(shop, sorted(shop.tasks, key=lambda t: (starts[t.key], t.key)))


def as_early_as_possible(shop: Shop, order: Iterable[Task]) -> dict[str, int]:
    used: Used = {name: defaultdict(int) for name in shop.capacity}
    ends: dict[str, int] = {}
    starts: dict[str, int] = {}
    for task in order:
        start = max([task.not_before, *(ends[key] for key in task.after)])
        while (clash := _clash(task, start, used, shop.capacity)) is not None:
            start = clash + 1
        for name, amount in task.needs.items():
            for slot in range(start, start + task.slots):
                used[name][slot] += amount
        starts[task.key], ends[task.key] = start, start + task.slots
    return starts


def _clash(task: Task, start: int, used: Used, capacity: Mapping[str, int]) -> int | None:
    """The last slot in which the task does not fit if it starts then; None when it fits."""
    for slot in range(start + task.slots - 1, start - 1, -1):
        for name, amount in task.needs.items():
            if used[name][slot] + amount > capacity[name]:
                return slot
    return None
