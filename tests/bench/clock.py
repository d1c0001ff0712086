"""How long something takes, and how that is printed."""

import gc
import math
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


def seconds(work: Callable[[], object], *, rounds: int) -> list[float]:
    """The time of each round, after one that is not counted; nothing is collected meanwhile."""
    work()
    found = []
    gc.collect()
    gc.disable()
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    gc.enable()
    return found


def best(work: Callable[[], object], *, rounds: int) -> float:
    """The quickest round: what the work itself costs on a machine that does other things too."""
    return min(seconds(work, rounds=rounds))


def growth(
    small: Callable[[], object], large: Callable[[], object], *, times: float, rounds: int
) -> float:
    """The exponent with which processor time grows when the work is so many times as large.

    Both are run in turn, so that both meet the same machine; what others do to it while it waits
    for them is not counted.
    """
    took: dict[bool, float] = {}
    for _ in range(rounds):
        for is_large, work in ((False, small), (True, large)):
            gc.collect()
            gc.disable()
            start = time.thread_time()
            # The small one as often as it takes to be measured as long.
            count = 1 if is_large else max(1, round(times))
            for _ in range(count):
                work()
            spent = (time.thread_time() - start) / count
            gc.enable()
            took[is_large] = min(took.get(is_large, spent), spent)
    return math.log(took[True] / took[False]) / math.log(times)


def p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """One measured figure beside its budget; `least` turns the comparison round."""

    name: str
    value: float
    budget: float
    unit: str = ""
    least: bool = False

    @property
    def kept(self) -> bool:
        return self.value >= self.budget if self.least else self.value <= self.budget

    def __str__(self) -> str:
        word = "at least" if self.least else "at most"
        mark = "ok  " if self.kept else "OVER"
        value, budget = f"{self.value:.4g} {self.unit}".strip(), f"{self.budget:g} {self.unit}"
        return f"{mark} {self.name:<58} {value:>12}   {word} {budget.strip()}"
