"""The same questions put to z3 and to a plain SAT solver, each used as its manual says."""

from collections.abc import Iterable

import z3
from pysat.solvers import Solver

from jobs.controls.circuit import TRUE, Gate
from jobs.controls.decisions import Decision
from jobs.controls.model import Model


def never_by_z3(model: Model, nodes: list[int]) -> list[bool]:
    """For each node whether no legal state makes it true."""
    circuit, made = model.circuit, {}
    for node in circuit.cone([*nodes, *circuit.legal]):
        parts = circuit.inputs[node]
        match circuit.gates[node]:
            case Gate.CONSTANT:
                made[node] = z3.BoolVal(node == TRUE)
            case Gate.VARIABLE:
                made[node] = z3.Bool(f"v{parts[0]}")
            case Gate.NOT:
                made[node] = z3.Not(made[parts[0]])
            case Gate.AND:
                made[node] = z3.And(*[made[each] for each in parts])
            case Gate.OR:
                made[node] = z3.Or(*[made[each] for each in parts])
    solver = z3.Solver()
    solver.add(*[made[node] for node in circuit.legal])
    found = []
    for node in nodes:
        solver.push()
        solver.add(made[node])
        found.append(solver.check() == z3.unsat)
        solver.pop()
    return found


def never_by_sat(model: Model, nodes: list[int]) -> list[bool]:
    plain = _Plain(model)
    plain.encode([*nodes, *model.circuit.legal], 0)
    for node in model.circuit.legal:
        plain.solver.add_clause([plain.literals[node, 0]])
    found = [not plain.solver.solve(assumptions=[plain.literals[node, 0]]) for node in nodes]
    plain.solver.delete()
    return found


def shown_by_sat(model: Model, decisions: list[Decision]) -> tuple[int, int]:
    """Conditions shown by a unique-cause pair, and the rows that takes: two copies side by side."""
    plain = _Plain(model)
    for copy in (0, 1):
        plain.encode(model.circuit.legal, copy)
        for node in model.circuit.legal:
            plain.solver.add_clause([plain.literals[node, copy]])
    shown = rows = 0
    for decision in decisions:
        pairs = [plain.pair(place.node) for place in decision.places]
        equal = [plain.equal(*pair) for pair in pairs]
        out = plain.pair(model.command(decision.output))
        seen = set()
        for at, (one, other) in enumerate(pairs):
            assumed = [each for place, each in enumerate(equal) if place != at] + [one, -other]
            if plain.solver.solve(assumptions=[*assumed, out[0], -out[1]]) or plain.solver.solve(
                assumptions=[*assumed, -out[0], out[1]]
            ):
                shown += 1
                true = set(plain.solver.get_model())
                seen |= {tuple(pair[copy] in true for pair in pairs) for copy in (0, 1)}
        rows += len(seen)
    plain.solver.delete()
    return shown, rows


class _Plain:
    """The circuit as clauses, each gate once for each copy."""

    def __init__(self, model: Model) -> None:
        self.circuit = model.circuit
        self.solver = Solver(name="cadical195", bootstrap_with=[[1]])
        self.last = 1
        self.literals: dict[tuple[int, int], int] = {}

    def fresh(self) -> int:
        self.last += 1
        return self.last

    def pair(self, node: int) -> tuple[int, int]:
        for copy in (0, 1):
            self.encode([node], copy)
        return self.literals[node, 0], self.literals[node, 1]

    def equal(self, one: int, other: int) -> int:
        own = self.fresh()
        self.solver.add_clause([-own, one, -other])
        self.solver.add_clause([-own, -one, other])
        return own

    def encode(self, roots: Iterable[int], copy: int) -> None:
        known = self.literals
        for node in self.circuit.cone(roots):
            if (node, copy) in known:
                continue
            gate, parts = self.circuit.gates[node], self.circuit.inputs[node]
            if gate is Gate.CONSTANT:
                known[node, copy] = 1 if node == TRUE else -1
            elif gate is Gate.VARIABLE:
                known[node, copy] = self.fresh()
            elif gate is Gate.NOT:
                known[node, copy] = -known[parts[0], copy]
            else:
                self._gate(node, copy, [known[each, copy] for each in parts])

    def _gate(self, node: int, copy: int, parts: list[int]) -> None:
        own = self.literals[node, copy] = self.fresh()
        sign = 1 if self.circuit.gates[node] is Gate.AND else -1
        for part in parts:
            self.solver.add_clause([-own * sign, part * sign])
        self.solver.add_clause([own * sign, *[-part * sign for part in parts]])
