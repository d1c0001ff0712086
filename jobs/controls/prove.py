"""Whether an interlock holds in every state that can be reached.

Up to MAX_VARIABLES variables, every state is looked at, as truth tables; above that a solver looks
for a broken state. Either way the answer is Proved, Refuted with the smallest counterexample, or
TooLarge with the reason.
"""

from jobs.controls.circuit import FALSE
from jobs.controls.cones import cone_of
from jobs.controls.counterexample import counterexample
from jobs.controls.logic import Interlock, InterlockKind
from jobs.controls.model import Model
from jobs.controls.reach import Reach
from jobs.controls.readings import TRUTH
from jobs.controls.results import Proved, Refuted, Result, TooLarge
from jobs.controls.tables import MAX_VARIABLES


def prove(model: Model, interlock: Interlock) -> Result:
    """Judge one interlock on the model, whose `allow_s` is that of the interlock."""
    broken = broken_node(model, interlock)
    cone = cone_of(model, broken)
    if len(cone.order) > MAX_VARIABLES:
        return TooLarge(reason=f"It depends on {len(cone.order)} two-valued variables.")
    return never(Reach(cone), broken, interlock)


def never(reach: Reach, broken: int, interlock: Interlock) -> Result:
    """Proved when the node is false in every legal state that can be reached."""
    table = reach.tables.table(broken) & reach.legal
    if not reach.cone.states and not table:
        return Proved(states_checked=reach.legal.bit_count(), how="every state")
    checked = 0
    for visit in reach.visits():
        found = reach.slice(table, visit.state)
        if found:
            shown = counterexample(reach, visit, found, interlock)
            return Refuted(counterexample=shown)
        checked += reach.slice(reach.legal, visit.state).bit_count()
    return Proved(states_checked=checked, how="every state that can be reached")


def broken_node(model: Model, interlock: Interlock) -> int:
    """The node that is true while the interlock is broken."""
    circuit = model.circuit
    subjects = [model.node(subject, TRUTH) for subject in interlock.subjects]
    holds = model.node(interlock.condition, TRUTH) if interlock.condition else None
    match interlock.kind:
        case InterlockKind.NEVER_UNLESS:
            return circuit.all_of((circuit.any_of(subjects), circuit.negate(holds or FALSE)))
        case InterlockKind.ALWAYS_WHEN:
            off = circuit.negate(circuit.all_of(subjects))
            return off if holds is None else circuit.all_of((off, holds))
        case InterlockKind.NEVER_TOGETHER:
            return _several(model, subjects)
        case InterlockKind.EXACTLY_ONE:
            none = circuit.negate(circuit.any_of(subjects))
            wrong = circuit.any_of((none, _several(model, subjects)))
            return wrong if holds is None else circuit.all_of((wrong, holds))
        case InterlockKind.COLOUR_WITHIN_PROFILE:
            return circuit.any_of([node for _, _, node in model.forbidden_patterns()])
        case _:
            raise ValueError(f"{interlock.kind} is not about one moment.")


def _several(model: Model, subjects: list[int]) -> int:
    """True while two or more of the subjects are on."""
    seen, several = FALSE, FALSE
    for subject in subjects:
        both = model.circuit.all_of((seen, subject))
        several = model.circuit.any_of((several, both))
        seen = model.circuit.any_of((seen, subject))
    return several
