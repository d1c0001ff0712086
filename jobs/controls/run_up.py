"""Each thing that a test step shows, on its own: where it starts, what to do, what to see.

In the tour a step only says what changes. Where a new version asks just a few steps again, each of
them must also say from where it starts.
"""

from collections.abc import Iterator
from typing import Any

from jobs.controls.evaluate import Machine
from jobs.controls.expressions import Expression
from jobs.controls.logic import Logic, Rule
from jobs.controls.moments import State
from jobs.controls.order import used_names
from jobs.controls.results import Setting
from jobs.controls.steps import Act, Assertion, Expectation, Step, StepWords, TestPlan
from jobs.controls.words import capital, listed

UNKNOWN_KEY = " unknown"


def step_rows(logic: Logic, plan: TestPlan) -> list[dict[str, Any]]:
    """One plain row for each assertion, in the order of the tour."""
    return list(_Rows(logic).rows(plan.steps))


class _Rows:
    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.words = StepWords(logic)
        self.machine = Machine(logic)
        self.terms: dict[str, Expression] = {term.name: term.when for term in logic.terms}
        self.rules: dict[str, list[Rule]] = {}
        for rule in logic.rules:
            self.rules.setdefault(rule.output, []).append(rule)
        self.settings = {
            signal.name: Setting(signal=signal.name, value=signal.example(signal.rest_index))
            for signal in logic.signals
        }
        self.state: State = self.machine.start()

    def rows(self, steps: tuple[Step, ...]) -> Iterator[dict[str, Any]]:
        for step in steps:
            before, remembered = dict(self.settings), self.state
            for act in step.acts:
                self._play(act)
            for each in step.asserts:
                yield {
                    "key": each.key,
                    "digest": each.digest,
                    "safety": each.safety,
                    "step": step.number,
                    "title": self._title(each),
                    "start": self._start(each, before, remembered),
                    "instruction": step.instruction,
                    "expected": self.words.expected((each.expect,)),
                    "cautions": list(self.words.cautions(step.acts, (each.expect,))),
                }

    def _play(self, act: Act) -> None:
        self.settings |= {each.signal: each for each in act.changes}
        state = self.machine.start() if act.restart else self.state
        self.state = self.machine.step(state, self.settings.values(), act.wait_s).state

    def _title(self, each: Assertion) -> str:
        title = capital(self.words.expectation(each.expect))
        name = each.key.removesuffix(UNKNOWN_KEY).rpartition("/")[2]
        if each.key.endswith(UNKNOWN_KEY) and name in self.settings:
            title += f" with {self.words.words.signals[name].label} not known"
        return title

    def _start(self, each: Assertion, before: dict[str, Setting], remembered: State) -> str:
        """What differs from rest among what plays a part, and what is remembered."""
        changed = [
            self.words.change(before[setting.signal])
            for setting in each.settings
            if not self.words.words.resting(before[setting.signal])
        ]
        parts = [*changed, *self._remembered(each.expect, remembered)]
        return f"{capital('; '.join(parts))}. All else at rest." if parts else "All at rest."

    def _remembered(self, expect: Expectation, remembered: State) -> Iterator[str]:
        """Outputs that are on because they latched or are held, among those behind this one."""
        behind = self._behind(expect.name)
        held = remembered.latched | remembered.delayed
        on = [
            self.words.words.outputs[output]
            for output in self.rules
            if output in behind and any(rule.name in held for rule in self.rules[output])
        ]
        if on:
            yield f"still on from before: {listed(on, 'and')}"

    def _behind(self, name: str) -> set[str]:
        """Outputs that this output or head looks at, itself included."""
        heads = {head.name: head for head in self.logic.heads}
        found: set[str] = {name}
        if name in heads:
            conditions = heads[name].patterns
            found = set()
            for pattern in conditions:
                rule = Rule(name="", output="", when=pattern.when)
                found |= used_names(rule, self.terms)
        while True:
            more = {
                used
                for output in found
                for rule in self.rules.get(output, [])
                for used in used_names(rule, self.terms)
            }
            if more <= found:
                return found
            found |= more
