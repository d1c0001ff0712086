"""Whether an interlock holds in every state that can be reached.

Up to MAX_VARIABLES variables, every state is looked at, as truth tables; above that a solver looks
for a broken state. Either way the answer is Proved, Refuted with the smallest counterexample, or
TooLarge with the reason.
"""

from jobs.controls import induction
from jobs.controls.broken import broken_node
from jobs.controls.circuit import bits
from jobs.controls.cones import Cone, cone_of, groups, nearest, rest_state, spelled, widened
from jobs.controls.counterexample import Trail, counterexample
from jobs.controls.forced import forced
from jobs.controls.logic import Interlock
from jobs.controls.model import Model
from jobs.controls.reach import Reach, Visit
from jobs.controls.readings import Variable
from jobs.controls.results import Proved, Refuted, Result, TooLarge
from jobs.controls.solver import Clauses, OutOfBudget
from jobs.controls.tables import MAX_VARIABLES, Tables

MAX_STATE_VARIABLES = 10


class Prover:
    """Questions about one model. Close it, or use it in a `with` statement."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._shared: Clauses | None = None

    def __enter__(self) -> "Prover":
        return self

    def __exit__(self, *_: object) -> None:
        if self._shared is not None:
            self._shared.close()

    def judge(self, interlock: Interlock) -> Result:
        """Judge one interlock, whose `allow_s` is that of the model."""
        broken = broken_node(self.model, interlock)
        found = self.find(cone_of(self.model, broken), broken)
        if isinstance(found, Trail):
            return Refuted(counterexample=counterexample(found, interlock))
        return found

    def can_be(self, node: int) -> bool | None:
        """Whether a reachable state makes the node true; None when that is not decided.

        Quicker than `find` where nobody asks for the smallest such state.
        """
        circuit = self.model.circuit
        support, ties = circuit.closure(circuit.support[node])
        numbers = bits(support)
        if not self.model.following.keys().isdisjoint(numbers):
            found = self.find(cone_of(self.model, node), node)
            return None if isinstance(found, TooLarge) else isinstance(found, Trail)
        fixed = forced(circuit, (node, *ties))
        if fixed is None:
            return False
        sample = Tables.sampled(circuit, numbers, fixed)
        if sample.table(node) & sample.all_of(ties):
            return True
        free = [number for number in numbers if circuit.variables[number] not in fixed]
        if len(free) <= MAX_VARIABLES:
            tables = Tables(circuit, free, fixed)
            return bool(tables.table(node) & tables.all_of(ties))
        clauses = self.clauses()
        try:
            return clauses.solve([clauses.literal(node)]) is not None
        except OutOfBudget:
            return None

    def find(self, cone: Cone, node: int) -> Proved | Trail | TooLarge:
        """Look for a reachable state in which the node is true: by tables, or else by solver."""
        if fits(cone):
            return search(Reach(cone), node)
        if forced(self.model.circuit, (node, *cone.ties)) is None:
            how = "by contradiction, over every state"
            return Proved(states_checked=1 << len(cone.order), how=how)
        if not cone.states:
            return induction.search(self.clauses(), cone, node)
        clauses = Clauses(self.model)
        try:
            return induction.search(clauses, cone, node)
        finally:
            clauses.close()

    def clauses(self) -> Clauses:
        """The clauses that questions about one moment share, with a new budget."""
        if self._shared is None:
            self._shared = Clauses(self.model)
        self._shared.renew()
        return self._shared


def fits(cone: Cone) -> bool:
    """Whether truth tables are quick enough."""
    return len(cone.order) <= MAX_VARIABLES and len(cone.states) <= MAX_STATE_VARIABLES


def prove(model: Model, interlock: Interlock) -> Result:
    """Judge one interlock about single moments."""
    with Prover(model) as prover:
        return prover.judge(interlock)


def search(reach: Reach, broken: int) -> Proved | Trail:
    """Proved when the node is false in every legal state that can be reached."""
    table = reach.tables.table(broken) & reach.legal
    if not reach.cone.states and not table:
        return Proved(states_checked=reach.legal.bit_count(), how="every state")
    checked = 0
    for visit in reach.visits():
        if found := reach.slice(table, visit.state):
            return trail(reach, visit, found)
        checked += reach.slice(reach.legal, visit.state).bit_count()
    return Proved(states_checked=checked, how="every state that can be reached")


def trail(reach: Reach, visit: Visit, table: int) -> Trail:
    """The way to the state of the table that is nearest to rest."""
    last = nearest(reach.cone, table)
    return Trail(
        cone=reach.cone,
        before=reach.path(visit),
        last=spelled(reach.cone, visit.state, last),
        matters=_matters(reach, visit.state, last, table),
    )


def _matters(reach: Reach, carried: int, state: int, table: int) -> tuple[Variable, ...]:
    """Inputs that cannot change without leaving the table. Those at rest are given up first."""
    cone, size = reach.cone, len(reach.cone.inputs)
    outside = reach.slice(reach.legal, carried) & ~table
    moved = state ^ rest_state(cone)
    cube = 1 << state
    kept = []
    for places in sorted(groups(cone), key=lambda each: any(moved >> p & 1 for p in each)):
        wider = widened(cube, places, size)
        if wider & outside:
            kept.append(cone.model.readings.variables[cone.inputs[places[0]]])
        else:
            cube = wider
    return tuple(kept)
