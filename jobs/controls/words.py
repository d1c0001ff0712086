"""Expressions, rules and states as plain sentences."""

from jobs.controls.expressions import (
    AllOf,
    AnyOf,
    Compare,
    Edge,
    Expression,
    Known,
    Named,
    Not,
    Relation,
)
from jobs.controls.logic import Action, Logic, Rule
from jobs.controls.results import Setting
from jobs.controls.signals import Signal, SignalKind


class Words:
    """The labels of one logic, ready for sentences."""

    def __init__(self, logic: Logic) -> None:
        self.signals = {signal.name: signal for signal in logic.signals}
        self.terms = {term.name: term.label for term in logic.terms}
        self.outputs = {output.name: output.label for output in logic.outputs}
        self.rules = {rule.name: rule for rule in logic.rules}

    def phrase(self, expression: Expression) -> str:
        """“gear is P, park brake is set and (engine is running or shore cord is in)”."""
        match expression:
            case AllOf(parts=parts):
                return listed([self._bracketed(part) for part in parts], "and")
            case AnyOf(parts=parts):
                return listed([self._bracketed(part) for part in parts], "or")
            case Not(inner=AllOf() | AnyOf() as inner):
                return f"not ({self.phrase(inner)})"
            case Not(inner=Not(inner=inner)):
                return self.phrase(inner)
            case Not(inner=inner):
                return self._condition(inner, holds=False)
            case condition:
                return self._condition(condition, holds=True)

    def _bracketed(self, part: Expression) -> str:
        return f"({self.phrase(part)})" if isinstance(part, AllOf | AnyOf) else self.phrase(part)

    def _condition(self, condition: Expression, *, holds: bool) -> str:
        match condition:
            case Named(name=name) if name in self.terms:
                return self.terms[name] if holds else f"not {self.terms[name]}"
            case Named(name=name) if name in self.outputs:
                label = self.outputs[name]
                return f"{label} {verb(label)} {'on' if holds else 'off'}"
            case Named(name=name):
                return _about(self.signals[name], self.signals[name].words(int(holds)))
            case Known(name=name):
                return _about(self.signals[name], "known" if holds else "unknown")
            case Edge(name=name, rising=rising):
                signal = self.signals[name]
                change = f"just becomes {signal.words(int(rising))}"
                return f"{signal.label} {change if holds else 'does not ' + change[5:]}"
            case Compare():
                return self._compared(condition, holds=holds)
            case _:
                raise TypeError(condition)

    def _compared(self, compare: Compare, *, holds: bool) -> str:
        signal = self.signals[compare.name]
        if compare.relation is Relation.IS:
            return _about(signal, f"{'' if holds else 'not '}{compare.operand}")
        limit = _limit(signal, compare.operand)
        above = (compare.relation is Relation.AT_LEAST) == holds
        return _about(signal, f"{limit} or more" if above else f"below {limit}")

    def setting(self, setting: Setting) -> str:
        """“gear is P”, or “stowed contact is unknown (in truth open)”."""
        signal = self.signals[setting.signal]
        value = signal.words(signal.index(setting.value)) if setting.value else ""
        if setting.known:
            return _about(signal, value)
        return _about(signal, f"unknown (in truth {value})" if value else "unknown")

    def resting(self, setting: Setting) -> bool:
        """Whether the setting is that of a parked, untouched vehicle."""
        signal = self.signals[setting.signal]
        value = setting.value or signal.example(signal.rest_index)
        return setting.known and signal.index(value) == signal.rest_index

    def rule(self, rule: Rule) -> str:
        """“Mast up turns on when …, after 2 s; it stays on until …”."""
        label = self.outputs[rule.output]
        many = verb(label) == "are"
        turns = "turn on" if many else "turns on"
        drives = turns if rule.action is Action.TURN_ON else f"{verb(label)} held off"
        sentence = f"{capital(label)} {drives} when {self.phrase(rule.when)}"
        if rule.on_delay_s:
            sentence += f", for {rule.on_delay_s:g} s without a break"
        if rule.off_delay_s:
            sentence += f", and for {rule.off_delay_s:g} s after"
        if rule.reset is not None:
            again = ", or the same happens again" if rule.toggle else ""
            sentence += (
                f"; {'they stay' if many else 'it stays'} so until {self.phrase(rule.reset)}{again}"
            )
        return f"{sentence}."


def verb(label: str) -> str:
    """“is” or “are”: labels are plain nouns, and only plurals end in a single s."""
    return "are" if label.endswith("s") and not label.endswith(("ss", "us", "is")) else "is"


def _about(signal: Signal, value: str) -> str:
    return f"{signal.label} {verb(signal.label)} {value}"


def capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _limit(signal: Signal, operand: str) -> str:
    if signal.kind is SignalKind.POSITION:
        return operand
    value = next(each.value for each in signal.thresholds if each.operand == operand)
    return f"{value:g} {signal.unit}".rstrip()


def listed(parts: list[str], word: str) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}"
