"""Writes steps down while the vehicle is played through them."""

import hashlib
import json

from jobs.controls.cones import Cone, moment
from jobs.controls.decisions import Decision
from jobs.controls.expressions import Edge, conditions, names, text
from jobs.controls.logic import Action, Logic, Rule
from jobs.controls.model import Model
from jobs.controls.readings import Role
from jobs.controls.results import Setting
from jobs.controls.runner import MAX_WAIT_S, Played, Runner
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

    def play(
        self,
        settings: list[Setting],
        own: set[str],
        *,
        at_least_s: float = 0,
        may_restart: bool = False,
    ) -> Played:
        """Play one moment; it becomes an act of the step that is written next."""
        played = self.runner.play(settings, own, at_least_s=at_least_s, may_restart=may_restart)
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
        """One step out of the acts since the last; empty ones before the end are left out."""
        *acts, last = self._acts
        self._acts = []
        done = (*[act for act in acts if act.changes or act.wait_s or act.restart], last)
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

    def proof_s(self, decision: Decision, outcome: bool) -> float:
        """How long an outcome must last until no delay can be what keeps it so [s].

        Something pressed lasts no time, and nobody waits longer than MAX_WAIT_S for nothing.
        """
        longest = 0.0
        for rule in (self.rules[name] for name in decision.rules):
            turned = rule.action is (Action.TURN_ON if outcome else Action.TURN_OFF)
            delay_s = rule.off_delay_s if turned else rule.on_delay_s
            momentary = any(isinstance(each, Edge) for each in conditions(rule.when))
            if not momentary and delay_s <= MAX_WAIT_S:
                longest = max(longest, delay_s)
        return longest

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
