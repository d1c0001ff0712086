"""The circuit as clauses, one copy for each moment, and a solver with a budget.

Used where a question depends on too many variables for truth tables. The budget counts conflicts,
not seconds, so that the same question has the same answer on every machine.
"""

from collections.abc import Iterable, Sequence

from pysat.solvers import Solver  # type: ignore[import-untyped]

from jobs.controls.circuit import FALSE, TRUE, Gate
from jobs.controls.cones import Cone
from jobs.controls.model import Model

MAX_CONFLICTS = 250_000
MAX_CLAUSES = 400_000


class OutOfBudget(Exception):
    """The solver gave up; the message says on what."""


class Clauses:
    """One model, unrolled over as many moments as are asked for.

    Literal 1 is true. `powered` is the literal that assumes moment 0 to be power-up; without it,
    what is carried into moment 0 is free.
    """

    def __init__(self, model: Model) -> None:
        self.model = model
        self.solver = Solver(name="cadical195", bootstrap_with=[[1]])
        self.last = 1
        self.clauses = 0
        self.conflicts = 0
        self.powered = self.fresh()
        self._literals: dict[tuple[int, int], int] = {}
        self._tied: set[int] = set()

    def close(self) -> None:
        self.solver.delete()

    def renew(self) -> None:
        """Give the next question the whole budget."""
        self.clauses = self.conflicts = 0

    def fresh(self) -> int:
        self.last += 1
        return self.last

    def add(self, clause: Sequence[int]) -> None:
        self.clauses += 1
        if self.clauses > MAX_CLAUSES:
            raise OutOfBudget(f"it needs more than {MAX_CLAUSES:,} clauses")
        self.solver.add_clause(clause)

    def literal(self, node: int, moment: int = 0) -> int:
        """The literal of a node at a moment; its clauses are added when first asked for."""
        self._tie(moment)
        return self._encoded(node, moment)

    def _tie(self, moment: int) -> None:
        """Only legal states exist."""
        if moment in self._tied:
            return
        self._tied.add(moment)
        for node in self.model.circuit.legal:
            self.add([self._encoded(node, moment)])

    def _encoded(self, node: int, moment: int) -> int:
        if node in (FALSE, TRUE):
            return 1 if node == TRUE else -1
        known = self._literals
        if (node, moment) in known:
            return known[node, moment]
        gates, inputs = self.model.circuit.gates, self.model.circuit.inputs
        for each in self.model.circuit.cone([node]):
            if (each, moment) in known or each in (FALSE, TRUE):
                continue
            if gates[each] is Gate.VARIABLE:
                known[each, moment] = self._variable(inputs[each][0], moment)
            elif gates[each] is Gate.NOT:
                known[each, moment] = -known[inputs[each][0], moment]
            else:
                parts = [known[part, moment] for part in inputs[each]]
                known[each, moment] = self._gate(parts, 1 if gates[each] is Gate.AND else -1)
        return known[node, moment]

    def _gate(self, parts: list[int], sign: int) -> int:
        """An AND gate, or with sign -1 an OR gate, which is an AND of opposites."""
        own = self.fresh()
        for part in parts:
            self.add([-own * sign, part] if sign == 1 else [own, -part])
        self.add([own * sign, *[-part * sign for part in parts]])
        return own

    def _variable(self, number: int, moment: int) -> int:
        following = self.model.following
        if number not in following:
            return self.fresh()
        if moment:
            return self.literal(following[number], moment - 1)
        own = self.fresh()
        starts = self.model.readings.variables[number].starts
        self.add([-self.powered, own if starts else -own])
        return own

    def mask(self, cone: Cone, moment: int, solution: frozenset[int]) -> int:
        """The variables of the cone that are true at a moment of the solution."""
        mask = 0
        for number in cone.order:
            literal = self.literal(self.model.circuit.variables[number], moment)
            is_true = literal in solution if literal > 0 else -literal not in solution
            mask |= is_true << number
        return mask

    def solve(self, assumptions: Iterable[int]) -> frozenset[int] | None:
        """The true literals of a solution, or None when there is none. Raises OutOfBudget."""
        left = MAX_CONFLICTS - self.conflicts
        if left <= 0:
            raise OutOfBudget(f"it was not decided within {MAX_CONFLICTS:,} conflicts")
        before = self.solver.accum_stats()["conflicts"]
        self.solver.conf_budget(left)
        answer = self.solver.solve_limited(assumptions=list(assumptions))
        self.conflicts += self.solver.accum_stats()["conflicts"] - before
        if answer is None:
            raise OutOfBudget(f"it was not decided within {MAX_CONFLICTS:,} conflicts")
        if not answer:
            return None
        return frozenset(literal for literal in self.solver.get_model() if literal > 0)
