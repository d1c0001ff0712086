"""The node that is true while an interlock is broken."""

from jobs.controls.circuit import FALSE, TRUE
from jobs.controls.logic import Interlock, InterlockKind
from jobs.controls.model import Model
from jobs.controls.readings import TRUTH


def broken_node(model: Model, interlock: Interlock) -> int:
    """For interlocks about one moment."""
    circuit = model.circuit
    subjects = [model.node(subject, TRUTH) for subject in interlock.subjects]
    holds = TRUE if interlock.condition is None else model.node(interlock.condition, TRUTH)
    match interlock.kind:
        case InterlockKind.NEVER_UNLESS:
            return circuit.all_of((circuit.any_of(subjects), circuit.negate(holds)))
        case InterlockKind.ALWAYS_WHEN:
            return circuit.all_of((circuit.negate(circuit.all_of(subjects)), holds))
        case InterlockKind.NEVER_TOGETHER:
            return _several(model, subjects)
        case InterlockKind.EXACTLY_ONE:
            none = circuit.negate(circuit.any_of(subjects))
            wrong = circuit.any_of((none, _several(model, subjects)))
            return circuit.all_of((wrong, holds))
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
