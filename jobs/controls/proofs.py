"""The entry points of the proof floor: judge every interlock, list every test step."""

from collections.abc import Iterator
from contextlib import ExitStack

from jobs.controls.liveness import about, latch_releasable, one, output_reachable
from jobs.controls.logic import Interlock, InterlockKind, Logic
from jobs.controls.model import Model
from jobs.controls.plan import test_plan
from jobs.controls.prove import Prover
from jobs.controls.results import Result
from jobs.controls.steps import Step


def prove_all(logic: Logic) -> list[tuple[Interlock, Result]]:
    """Every interlock with its result, in the order of the logic.

    An interlock about all outputs or all latches becomes one line for each of them.
    """
    return [line for lines in proofs_in_turn(logic) for line in lines]


def proofs_in_turn(logic: Logic, first: int = 0) -> Iterator[list[tuple[Interlock, Result]]]:
    """As prove_all, interlock by interlock, from the one with this number on."""
    with ExitStack() as stack:
        provers: dict[float, Prover] = {}
        for interlock in logic.interlocks[first:]:
            allow_s = interlock.allow_s
            if allow_s not in provers:
                provers[allow_s] = stack.enter_context(Prover(Model(logic, allow_s=allow_s)))
            yield list(judge(provers[allow_s], interlock))


def test_steps(logic: Logic) -> list[Step]:
    """Every test step in the order of the tour; `test_plan` also says what cannot be shown."""
    return list(test_plan(logic).steps)


def judge(prover: Prover, interlock: Interlock) -> Iterator[tuple[Interlock, Result]]:
    logic = prover.model.logic
    outputs = {output.name: output for output in logic.outputs}
    if interlock.kind is InterlockKind.OUTPUT_REACHABLE:
        driven = [name for name in outputs if not outputs[name].internal]
        for name in about(interlock, driven):
            line = one(interlock, name, name, outputs[name].label)
            yield line, output_reachable(prover, name, line)
    elif interlock.kind is InterlockKind.LATCH_RELEASABLE:
        chosen = about(interlock, list(outputs))
        for rule in logic.rules:
            if rule.latches and rule.output in chosen:
                line = one(interlock, rule.name, rule.output, outputs[rule.output].label)
                yield line, latch_releasable(prover, rule, line)
    else:
        yield interlock, prover.judge(interlock)
