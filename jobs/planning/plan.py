"""The best plan that a general solver finds in the time allowed, with how far off it may be.

Every stage is an interval; people and bays are cumulative limits; a unit's lateness is what it
ends after its due slot. Lateness weighs LATE_WEIGHT times as much as ending sooner.
"""

from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from jobs.planning.greedy import by_due_day, tightened
from jobs.planning.shop import Shop, alone, broken, cost, problems

LATE_WEIGHT = 100
SEED = 7
MOST_SAID = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """`bound` is what no plan can beat; equal to `cost` the plan is the best there is."""

    starts: dict[str, int]
    cost: int
    bound: int
    problems: tuple[str, ...] = ()

    @property
    def optimal(self) -> bool:
        return self.cost <= self.bound

    @property
    def gap_percent(self) -> int:
        """At most so much better could another plan be, rounded up."""
        if self.optimal or not self.cost:
            return 0
        return -(-100 * (self.cost - self.bound) // self.cost)


def plan(shop: Shop, *, seconds: float, workers: int = 1) -> Plan:
    """A plan that breaks nothing, always; when none can exist, the sentences why."""
    if found := problems(shop):
        return _none(found)
    if not shop.tasks:
        return Plan(starts={}, cost=0, bound=0)
    starts = by_due_day(shop)
    solved, bound = _solve(shop, starts, seconds, workers)
    best = min((starts, *solved), key=lambda one: cost(shop, one, LATE_WEIGHT))
    best = tightened(shop, best)
    if wrong := broken(shop, best):  # never shown as a plan
        return _none(wrong)
    total = cost(shop, best, LATE_WEIGHT)
    return Plan(starts=best, cost=total, bound=min(total, max(bound, _least(shop))))


def _none(why: list[str]) -> Plan:
    """No plan, and the first reasons; one missing bay would else name every stage of the shop."""
    more = [f"And {len(why) - MOST_SAID} more like these."] if len(why) > MOST_SAID else []
    return Plan(starts={}, cost=0, bound=0, problems=(*why[:MOST_SAID], *more))


def _solve(
    shop: Shop, hint: dict[str, int], seconds: float, workers: int
) -> tuple[list[dict[str, int]], int]:
    """The solver's plan, if it found one in time, and its lower bound."""
    model = cp_model.CpModel()
    horizon = max(hint[task.key] + task.slots for task in shop.tasks)
    starts, ends, intervals = {}, {}, {}
    for task in shop.tasks:
        start = model.new_int_var(task.not_before, horizon - task.slots, "")
        starts[task.key], ends[task.key] = start, start + task.slots
        intervals[task.key] = model.new_fixed_size_interval_var(start, task.slots, "")
        model.add_hint(start, hint[task.key])
    for task in shop.tasks:
        for key in task.after:
            model.add(starts[task.key] >= ends[key])
    for name, capacity in shop.capacity.items():
        users = [task for task in shop.tasks if task.needs.get(name)]
        if users:
            model.add_cumulative(
                [intervals[task.key] for task in users],
                [task.needs[name] for task in users],
                capacity,
            )
    model.minimize(_objective(shop, model, ends, horizon))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = SEED
    status = solver.solve(model)
    bound = -(-int(solver.best_objective_bound * 1_000) // 1_000)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return [], bound
    return [{key: solver.value(start) for key, start in starts.items()}], bound


def _objective(shop: Shop, model: cp_model.CpModel, ends: dict[str, Any], horizon: int) -> Any:
    """Lateness first, then the end of each unit."""
    terms: list[Any] = []
    for order in shop.orders:
        mine = [ends[task.key] for task in shop.tasks if task.job == order.job]
        if not mine:
            continue
        end = model.new_int_var(0, horizon, "")
        for one in mine:
            model.add(end >= one)
        terms.append(end)
        if order.due is not None:
            late = model.new_int_var(0, horizon, "")
            model.add(late >= end - order.due)
            terms.append(LATE_WEIGHT * order.weight * late)
    return sum(terms)


def _least(shop: Shop) -> int:
    """A bound without search: each unit alone in an empty shop."""
    ends = alone(shop)
    starts = {task.key: ends[task.key] - task.slots for task in shop.tasks}
    return cost(shop, starts, LATE_WEIGHT)
