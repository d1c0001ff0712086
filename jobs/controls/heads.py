"""Lamp heads: which pattern each combination of requests gives, with exactly one winner."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from jobs.controls.circuit import bits
from jobs.controls.cones import cone_of
from jobs.controls.counterexample import Trail
from jobs.controls.logic import Head
from jobs.controls.model import Model
from jobs.controls.prove import Prover
from jobs.controls.readings import View
from jobs.controls.results import Moment, Proved
from jobs.controls.solver import Clauses, OutOfBudget

MAX_ROWS = 128


class Cell(StrEnum):
    REACHED = "reached"
    NEVER_REACHED = "never reached"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadRow:
    """Patterns that are asked for at once, and the one that is shown (empty: dark)."""

    asked: tuple[str, ...]
    winner: str
    colours: tuple[str, ...]
    cell: Cell
    example: Moment | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class HeadTable:
    """All combinations that signals allow. `impossible` of the rest cannot exist at all."""

    head: str
    label: str
    zone: str
    rows: tuple[HeadRow, ...]
    impossible: int
    never_shown: tuple[str, ...]
    complete: bool


def head_tables(model: Model) -> list[HeadTable]:
    return list(tables_in_turn(model))


def tables_in_turn(model: Model, first: int = 0) -> Iterator[HeadTable]:
    """Head by head, from the one with this number on."""
    with Prover(model) as prover:
        for head in model.logic.heads[first:]:
            yield head_table(prover, head)


def head_table(prover: Prover, head: Head) -> HeadTable:
    model = prover.model
    nodes = [model.node(pattern.when, View(unsafe=head.unsafe)) for pattern in head.patterns]
    found, complete = _combinations(model, nodes)
    rows = tuple(_row(prover, head, nodes, combination) for combination in found)
    shown = {row.winner for row in rows if row.cell is not Cell.NEVER_REACHED}
    return HeadTable(
        head=head.name,
        label=head.label,
        zone=head.zone,
        rows=rows,
        impossible=(1 << len(nodes)) - len(found) if complete else 0,
        never_shown=tuple(each.name for each in head.patterns if each.name not in shown),
        complete=complete,
    )


def _combinations(model: Model, nodes: list[int]) -> tuple[list[int], bool]:
    """Requests that legal states allow together, as bit masks, and whether these are all."""
    clauses = Clauses(model)
    try:
        literals = [clauses.literal(node) for node in nodes]
        found: list[int] = []
        while len(found) < MAX_ROWS:
            solution = clauses.solve([])
            if solution is None:
                return sorted(found), True
            values = [each in solution if each > 0 else -each not in solution for each in literals]
            found.append(sum(value << at for at, value in enumerate(values)))
            same = [-each if on else each for each, on in zip(literals, values, strict=True)]
            clauses.add(same)
        return sorted(found), False
    except OutOfBudget:
        return sorted(found), False
    finally:
        clauses.close()


def _row(prover: Prover, head: Head, nodes: list[int], combination: int) -> HeadRow:
    circuit = prover.model.circuit
    exact = circuit.all_of(
        [node if combination >> at & 1 else circuit.negate(node) for at, node in enumerate(nodes)]
    )
    found = prover.find(cone_of(prover.model, exact), exact)
    asked = [head.patterns[at] for at in bits(combination)]
    cell, example = Cell.NOT_DECIDED, None
    if isinstance(found, Trail):
        cell, example = Cell.REACHED, found.moment
    elif isinstance(found, Proved):
        cell = Cell.NEVER_REACHED
    return HeadRow(
        asked=tuple(each.name for each in asked),
        winner=asked[0].name if asked else "",
        colours=asked[0].colours if asked else (),
        cell=cell,
        example=example,
    )
