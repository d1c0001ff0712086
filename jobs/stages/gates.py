"""Gates that later rooms put before stages and holds: each answers with sentences, or with none.

What was proved is not known here; inspections registers its gates when it starts.
"""

from collections.abc import Callable, Iterable

from jobs.stages.models import Hold, Stage

StageGate = Callable[[Stage], Iterable[str]]
HoldGate = Callable[[Hold], Iterable[str]]
_stage_gates: list[StageGate] = []
_hold_gates: list[HoldGate] = []


def stage_gate(gate: StageGate) -> StageGate:
    """Register what may keep a stage from starting."""
    _stage_gates.append(gate)
    return gate


def hold_gate(gate: HoldGate) -> HoldGate:
    """Register what may keep a hold from being released."""
    _hold_gates.append(gate)
    return gate


def keeps_from_starting(stage: Stage) -> list[str]:
    return [sentence for gate in _stage_gates for sentence in gate(stage)]


def keeps_from_releasing(hold: Hold) -> list[str]:
    return [sentence for gate in _hold_gates for sentence in gate(hold)]
