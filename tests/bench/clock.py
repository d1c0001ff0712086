"""How long something takes, and how that is printed."""

import gc
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
