"""What the crew must know: what each control does, alarms, and what is locked out and why."""

from dataclasses import dataclass

from jobs.controls.expressions import AllOf, AnyOf, Expression, Not
from jobs.controls.logic import Action, Interlock, InterlockKind, Logic, Rule
from jobs.controls.signals import Signal, SignalKind
from jobs.controls.words import Words, capital, listed


@dataclass(frozen=True, kw_only=True, slots=True)
class Control:
    """A button, key or slide. `works` has one line for each output it acts on."""

    name: str
    label: str
    positions: tuple[str, ...]
    works: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Alarm:
    label: str
    when: str
    what_to_do: str


@dataclass(frozen=True, kw_only=True, slots=True)
class LockOut:
    """Something that will not come on, or always does, and why that is so."""

    rule: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Caution:
    subject: str
    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Guide:
    version: str
    controls: tuple[Control, ...]
    alarms: tuple[Alarm, ...]
    lock_outs: tuple[LockOut, ...]
    cautions: tuple[Caution, ...]


def guide(logic: Logic, *, places: tuple[str, ...] = ("Control head", "Keypad")) -> Guide:
    """The guide; signals whose source is one of the places are controls of the crew."""
    writer = _Writer(logic)
    controls = tuple(writer.control(each) for each in logic.signals if each.source in places)
    return Guide(
        version=logic.version,
        controls=controls,
        alarms=tuple(writer.alarms()),
        lock_outs=tuple(writer.lock_outs()),
        cautions=tuple(writer.cautions()),
    )


class _Writer:
    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.words = Words(logic)
        self.outputs = {output.name: output for output in logic.outputs}
        terms = {term.name: term.when for term in logic.terms}
        self.asks = {
            rule.name: wanted(rule.when, terms) if rule.action is Action.TURN_ON else set()
            for rule in logic.rules
        }
        self.avoids = {rule.name: wanted(Not(inner=rule.when), terms) for rule in logic.rules}

    def control(self, signal: Signal) -> Control:
        reached = self._reached(signal.name)
        driven = [name for name in reached if self._is_shown(name)]
        works = [self._work(name) for name in driven]
        if not works:
            works = [self._stop(name) for name in self._stopped({signal.name, *reached})]
        cautions = [signal.caution, *[self.outputs[name].caution for name in driven]]
        return Control(
            name=signal.name,
            label=signal.label,
            positions=signal.positions if signal.kind is SignalKind.POSITION else (),
            works=tuple(works),
            cautions=tuple(dict.fromkeys(each for each in cautions if each)),
        )

    def _reached(self, signal: str) -> list[str]:
        """Outputs that the control helps to turn on, through internal ones too."""
        found: set[str] = set()
        names = {signal}
        while names:
            reached = {rule.output for rule in self.logic.rules if self.asks[rule.name] & names}
            names = {name for name in reached - found if self.outputs[name].internal}
            found |= reached
        return [name for name in self.outputs if name in found]

    def _is_shown(self, name: str) -> bool:
        output = self.outputs[name]
        return not output.alarm and bool(output.guide or not output.internal)

    def _stopped(self, names: set[str]) -> list[str]:
        """Outputs that need one of these to be off."""
        stopped = {rule.output for rule in self.logic.rules if self.avoids[rule.name] & names}
        return [name for name in self.outputs if name in stopped]

    def _stop(self, name: str) -> str:
        output = self.outputs[name]
        return f"Stops {output.label}. {output.guide}".rstrip()

    def _work(self, name: str) -> str:
        output = self.outputs[name]
        if output.guide:
            return f"{capital(output.label)}: {output.guide}"
        rules = [rule for rule in self._rules(name) if rule.action is Action.TURN_ON]
        return " ".join(self.words.rule(rule) for rule in rules)

    def alarms(self) -> list[Alarm]:
        return [
            Alarm(
                label=output.label,
                when=" ".join(self.words.rule(rule) for rule in self._rules(output.name)),
                what_to_do=output.guide,
            )
            for output in self.logic.outputs
            if output.alarm
        ]

    def _rules(self, output: str) -> list[Rule]:
        return [rule for rule in self.logic.rules if rule.output == output]

    def lock_outs(self) -> list[LockOut]:
        kinds = (InterlockKind.NEVER_UNLESS, InterlockKind.NEVER_TOGETHER)
        return [
            LockOut(rule=self.lock_out(each), why=each.why or each.label)
            for each in self.logic.interlocks
            if each.kind in kinds and each.safety
        ]

    def lock_out(self, interlock: Interlock) -> str:
        subjects = [self.words.phrase(subject) for subject in interlock.subjects]
        if interlock.kind is InterlockKind.NEVER_TOGETHER:
            return f"Never at the same time: {listed(subjects, 'and')}."
        off = [self.words.phrase(Not(inner=subject)) for subject in interlock.subjects]
        condition = self.words.phrase(interlock.condition) if interlock.condition else "never"
        late = f", at the latest after {interlock.allow_s:g} s" if interlock.allow_s else ""
        return f"{capital(listed(off, 'and'))} unless {condition}{late}."

    def cautions(self) -> list[Caution]:
        found = [(output.label, output.caution) for output in self.logic.outputs]
        return [Caution(subject=capital(label), text=text) for label, text in found if text]


def wanted(expression: Expression, terms: dict[str, Expression], *, holds: bool = True) -> set[str]:
    """Names that help to make the expression true by being on, pressed or at some position."""
    match expression:
        case Not(inner=inner):
            return wanted(inner, terms, holds=not holds)
        case AllOf(parts=parts) | AnyOf(parts=parts):
            return {name for part in parts for name in wanted(part, terms, holds=holds)}
        case condition if condition.name in terms:
            return wanted(terms[condition.name], terms, holds=holds)
        case condition:
            return {condition.name} if holds else set()
