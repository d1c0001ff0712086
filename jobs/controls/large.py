"""Test rows for decisions with more conditions than tables hold, pair by pair with a solver."""

from jobs.controls.decisions import Decision
from jobs.controls.mcdc import Cover, Form, cover, judged
from jobs.controls.model import Model
from jobs.controls.rows import Component
from jobs.controls.solver import Clauses, OutOfBudget


def large_cover(model: Model, decision: Decision, parts: list[Component]) -> Cover:
    """The usual rows as far as they can be set up, and a pair for each condition they leave out.

    Only for decisions without memory: the two rows of a pair are looked for side by side.
    """
    count = len(decision.places)
    usual = cover(decision.shape, count)
    rows = [row for row in usual.rows if all(part.states(row) for part in parts)]
    found = judged(decision.shape, count, tuple(rows))
    missing = [each.condition for each in found.shown if each.form is Form.NOT_POSSIBLE]
    clauses = Clauses(model)
    try:
        search = _Pairs(clauses, model, decision)
        for condition in missing:
            rows += [row for row in search.pair(condition) if row not in rows]
    except OutOfBudget:
        pass  # What was not found stays reported as not shown.
    finally:
        clauses.close()
    return judged(decision.shape, count, tuple(rows))


class _Pairs:
    """Two copies of a decision, at two moments that have nothing to do with each other."""

    def __init__(self, clauses: Clauses, model: Model, decision: Decision) -> None:
        self.clauses = clauses
        for tie in decision.ties:
            clauses.add([clauses.literal(tie, 0)])
            clauses.add([clauses.literal(tie, 1)])
        self.places = [
            (clauses.literal(place.node, 0), clauses.literal(place.node, 1))
            for place in decision.places
        ]
        self.equal = [self._equal(*pair) for pair in self.places]
        command = model.energised(decision.output)
        self.outcome = (clauses.literal(command, 0), clauses.literal(command, 1))

    def _equal(self, first: int, second: int) -> int:
        equal = self.clauses.fresh()
        self.clauses.add([-equal, first, -second])
        self.clauses.add([-equal, -first, second])
        return equal

    def pair(self, condition: int) -> list[int]:
        """Two rows that differ in this condition and in the outcome, or none."""
        others = [each for at, each in enumerate(self.equal) if at != condition]
        true, false = self.places[condition]
        for sign in (1, -1):
            outcomes = [self.outcome[0] * sign, -self.outcome[1] * sign]
            solution = self.clauses.solve([*others, true, -false, *outcomes])
            if solution is not None:
                return [self._row(solution, copy) for copy in (0, 1)]
        return []

    def _row(self, solution: frozenset[int], copy: int) -> int:
        row = 0
        for at, pair in enumerate(self.places):
            literal = pair[copy]
            is_true = literal in solution if literal > 0 else -literal not in solution
            row |= is_true << at
        return row
