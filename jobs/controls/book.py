"""Writes steps down while the vehicle is played through them."""

import hashlib
import json

from jobs.controls.cones import Cone, moment
from jobs.controls.decisions import Decision
from jobs.controls.expressions import names, text
from jobs.controls.logic import Logic, Rule
from jobs.controls.model import Model
from jobs.controls.readings import Role
from jobs.controls.results import Setting
from jobs.controls.runner import Played, Runner
from jobs.controls.steps import Act, Assertion, Coverage, Expectation, NotShown, Step, StepWords


class Book:
    """The steps so far, the vehicle as they left it, and what could not be shown."""

    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.model = Model(logic)
        self.runner = Runner(self.model)
        self.words = StepWords(logic)
        self.steps: list[Step] = []
        self._acts: list[Act] = []
        self.coverage: list[Coverage] = []
        self.not_shown: list[NotShown] = []
        self.rules = {rule.name: rule for rule in logic.rules}
        self.safety = {
            name
            for interlock in logic.interlocks
            if interlock.safety
            for subject in interlock.subjects
            for name in names(subject)
        }
        self._terms = {term.name: term.when for term in logic.terms}

    def play(self, settings: list[Setting], own: set[str]) -> Played:
        """Play one moment; it becomes an act of the step that is written next."""
        played = self.runner.play(settings, own)
        self._acts.append(
            Act(
                changes=played.changes,
                restored=played.restored,
                wait_s=played.wait_s,
                restart=played.restarted,
            )
        )
        return played

    def write(self, asserts: list[Assertion]) -> None:
        """One step out of the acts since the last; those that do nothing are left out."""
        acts, self._acts = self._acts, []
        done = tuple(act for act in acts if act.changes or act.wait_s or act.restart)
        expect = tuple(each.expect for each in asserts)
        self.steps.append(
            Step(
                number=len(self.steps) + 1,
                acts=done,
                asserts=tuple(asserts),
                instruction=self.words.instruction(done),
                expected=self.words.expected(expect),
                cautions=self.words.cautions(done, expect),
            )
        )

    def assertion(
        self,
        key: str,
        expect: Expectation,
        settings: tuple[Setting, ...],
        *,
        rules: tuple[str, ...] = (),
        safety: bool = False,
    ) -> Assertion:
        prints = [self._print(self.rules[name]) for name in rules]
        facts = [key, str(expect), sorted(str(each) for each in settings), prints]
        digest = hashlib.sha256(json.dumps(facts).encode()).hexdigest()
        return Assertion(
            key=key, digest=digest, expect=expect, settings=settings, rules=rules, safety=safety
        )

    def _print(self, rule: Rule) -> str:
        """The rule and every term it uses, as text."""
        used = set(names(rule.when)) | set(names(rule.reset) if rule.reset else ())
        written = [str(rule)]
        while found := sorted(used & self._terms.keys()):
            written += [f"{name} = {text(self._terms[name])}" for name in found]
            used = {name for term in found for name in names(self._terms[term])}
        return "; ".join(written)

    def row_key(self, decision: Decision, row: int) -> str:
        return f"{decision.key}/{row:0{len(decision.places)}b}"

    def settings_of(self, *cones: Cone) -> tuple[Setting, ...]:
        """What is set now on every signal of these cones, in the order of the logic."""
        roles = (Role.VALUE, Role.KNOWN)
        variables = self.model.readings.variables
        played = {
            variables[n].name for cone in cones for n in cone.inputs if variables[n].role in roles
        }
        return tuple(each for name, each in self.runner.settings.items() if name in played)

    def settings_from(self, cone: Cone, true: int) -> list[Setting]:
        return list(moment(cone, true).settings)
