"""Decisions written with single letters, and an MC/DC checker that uses no product code."""

import re
from collections.abc import Callable, Iterable
from itertools import product

from jobs.controls.decision import Joined, Leaf, Opposite, Shape
from jobs.controls.expressions import AllOf, AnyOf, Expression, Named, Not, conditions
from jobs.controls.grammar import parse
from jobs.controls.signals import Signal

Rows = frozenset[tuple[bool, ...]]
Outcome = Callable[[tuple[bool, ...]], bool]
LETTERS = {name: Signal(name=name, label=name) for name in "ABCDEFGHMNST"}


def read(written: str) -> Expression:
    return parse(written, LETTERS)


def shape(expression: Expression) -> Shape:
    """Every letter where it stands is its own condition."""
    return _shape(expression, iter(range(1000)))


def _shape(expression: Expression, numbers: Iterable[int]) -> Shape:
    match expression:
        case Not(inner=inner):
            return Opposite(part=_shape(inner, numbers))
        case AllOf(parts=parts):
            return Joined(parts=tuple(_shape(part, numbers) for part in parts))
        case AnyOf(parts=parts):
            return Joined(parts=tuple(_shape(part, numbers) for part in parts), any_of=True)
        case _:
            return Leaf(number=next(iter(numbers)))


def outcome(written: str) -> Outcome:
    """The expression as Python reads it, over its letters in the order in which they stand."""
    numbers = iter(range(1000))
    code = re.sub(r"\b[A-Z]\b", lambda _: f"v[{next(numbers)}]", written).lower()
    compiled = compile(code, written, "eval")
    return lambda values: bool(eval(compiled, {"v": values}))


def places(expression: Expression) -> list[str]:
    return [each.name for each in conditions(expression) if isinstance(each, Named)]


def spread(rows: Iterable[int], count: int) -> Rows:
    return frozenset(tuple(bool(row >> at & 1) for at in range(count)) for row in rows)


def flipped(row: tuple[bool, ...], at: int) -> tuple[bool, ...]:
    return (*row[:at], not row[at], *row[at + 1 :])


def pairs(of: Outcome, count: int, at: int, legal: Rows | None = None) -> list[Rows]:
    """Every pair of rows that differ in this condition and in the outcome only."""
    every = legal if legal is not None else frozenset(product((False, True), repeat=count))
    return [
        frozenset({row, flipped(row, at)})
        for row in every
        if row[at] and flipped(row, at) in every and of(row) != of(flipped(row, at))
    ]


def shows_by_unique_cause(of: Outcome, rows: Rows, at: int) -> bool:
    return any(flipped(row, at) in rows and of(row) != of(flipped(row, at)) for row in rows)


def shows_by_masking(of: Outcome, rows: Rows, at: int) -> bool:
    """Two rows with different outcomes, in each of which flipping the condition flips it."""
    deciding = [row for row in rows if of(row) != of(flipped(row, at))]
    return any(one[at] != two[at] and of(one) != of(two) for one in deciding for two in deciding)


def minimum_sets(of: Outcome, count: int) -> tuple[int, set[Rows]]:
    """The smallest size of a unique-cause set, and all sets of that size."""
    choices = [pairs(of, count, at) for at in range(count)]
    sets = {frozenset().union(*choice) for choice in product(*choices)}
    smallest = min(len(each) for each in sets)
    return smallest, {each for each in sets if len(each) == smallest}
