"""A refuted interlock step by step: each moment of its counterexample played on the logic."""

from dataclasses import dataclass

from jobs.build_sheet.control.address import resting
from jobs.build_sheet.control.simulation import Shown, shown
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Interlock, Logic
from jobs.controls.model import Model
from jobs.controls.moments import Outcome
from jobs.controls.proofs import judge
from jobs.controls.prove import Prover
from jobs.controls.results import Counterexample, Moment, Refuted


@dataclass(frozen=True, kw_only=True, slots=True)
class Example:
    """One line of the proofs that was refuted, and how. What can never be has no steps."""

    interlock: Interlock
    found: Counterexample

    @property
    def steps(self) -> int:
        return len(self.found.moments)


def example_of(logic: Logic, name: str) -> Example | None:
    """The counterexample of the line with this name; None when there is none."""
    parents = [
        each for each in logic.interlocks if name == each.name or name.startswith(f"{each.name}.")
    ]
    for parent in parents:
        with Prover(Model(logic, allow_s=parent.allow_s)) as prover:
            for line, result in judge(prover, parent):
                if line.name == name and isinstance(result, Refuted):
                    return Example(interlock=line, found=result.counterexample)
    return None


def play_example(logic: Logic, example: Example, step: int) -> Shown:
    """The moments up to this step, one after the other; what the last one changed is marked."""
    machine = Machine(logic)
    settings = before = resting(logic)
    outcome: Outcome = machine.step(machine.start(), settings.values())
    earlier, state, seconds = outcome, machine.start(), 0.0
    for at, moment in enumerate(example.found.moments[:step]):
        earlier, before = outcome, settings
        settings = settings | {each.signal: each for each in moment.settings}
        seconds = _waited(logic, moment)
        outcome = machine.step(state, settings.values(), seconds)
        allowed = example.interlock.allow_s
        if at + 1 == example.steps and allowed and example.interlock.name not in outcome.broken:
            seconds = max(seconds, allowed)
            outcome = machine.step(state, settings.values(), seconds)
        state = outcome.state
    return shown(logic, before, settings, earlier, outcome, seconds)


def _waited(logic: Logic, moment: Moment) -> float:
    """How long the moment lasts, so that the delays which it says are over have run out."""
    return max((rule.on_delay_s for rule in logic.rules if rule.name in moment.waited), default=0)
