"""Every entry of a logic as a sentence, and the names that an expression may use."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jobs.controls.expressions import Expression, text
from jobs.controls.logic import (
    Assumption,
    Head,
    Interlock,
    InterlockKind,
    Logic,
    Node,
    Output,
    Term,
    Wire,
    ZoneColours,
)
from jobs.controls.signals import Signal, SignalKind, Wiring
from jobs.controls.words import Words, capital, listed, verb

WIRE_WORDS = {
    Wiring.NORMALLY_OPEN: "own wire, contact open at rest",
    Wiring.NORMALLY_CLOSED: "own wire, contact closed at rest",
    Wiring.BUS: "data bus or control head",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """One entry as a page shows it: its name, its sentence, and the expressions as typed."""

    name: str
    sentence: str
    typed: tuple[str, ...] = ()
    hint: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Usable:
    """A name as it is written in an expression, with its meaning."""

    snippet: str
    label: str


def lines_of(logic: Logic, part: str) -> list[Line]:
    words = Words(logic)
    return [_line(words, part, entry) for entry in getattr(logic, part)]


def line_of(logic: Logic, part: str, name: str) -> Line | None:
    return next((line for line in lines_of(logic, part) if line.name == name), None)


def _line(words: Words, part: str, entry: Any) -> Line:
    if part == "rules":
        typed = (text(entry.when), *(f"until {text(each)}" for each in [entry.reset] if each))
        return Line(name=entry.name, sentence=words.rule(entry), typed=typed, hint=entry.why)
    writers: dict[str, Callable[[Words, Any], Line]] = {
        "signals": _signal,
        "terms": _term,
        "outputs": _output,
        "heads": _head,
        "profile": _profile,
        "assumptions": _assumption,
        "interlocks": _interlock,
        "nodes": _node,
        "wires": _wire,
    }
    return writers[part](words, entry)


def _signal(_: Words, signal: Signal) -> Line:
    values = listed([signal.words(number) for number in range(signal.size)], "or")
    parts = [values, WIRE_WORDS[signal.wiring]]
    if signal.source:
        parts.append(f"from {signal.source}")
    if signal.wiring is not Wiring.BUS:
        cut = "unknown" if signal.monitored else signal.words(signal.open_index)
        parts.append(f"reads {cut} with its wire cut")
    if signal.may_be_unknown:
        parts.append(f"unknown counts as {signal.words(signal.index(signal.unsafe))}")
    return Line(name=signal.name, sentence=f"{capital(signal.label)}: {'; '.join(parts)}.")


def _term(words: Words, term: Term) -> Line:
    sentence = f"{capital(term.label)} means {words.phrase(term.when)}."
    return Line(name=term.name, sentence=sentence, typed=(text(term.when),))


def _output(words: Words, output: Output) -> Line:
    parts = ["drives no wire" if output.internal else "drives a wire"]
    if output.needs:
        parts = [f"on {output.needs}"]
    if output.alarm:
        parts.append("warns the crew")
    if output.series:
        parts.append(f"energised only together with {words.outputs[output.series]}")
    if output.second_means:
        parts.append(f"second means: {output.second_means}")
    sentence = f"{capital(output.label)}: {'; '.join(parts)}."
    return Line(name=output.name, sentence=sentence, hint=output.guide)


def _head(words: Words, head: Head) -> Line:
    order = [f"{each.name} when {words.phrase(each.when)}" for each in head.patterns]
    shown = "; else ".join([*order, "dark"])
    sentence = f"{capital(head.label)} ({', '.join(head.colours)}) shows {shown}."
    return Line(name=head.name, sentence=sentence)


def _profile(_: Words, zone: ZoneColours) -> Line:
    return Line(name=zone.zone, sentence=f"Allowed to the {zone.zone}: {', '.join(zone.colours)}.")


def _assumption(words: Words, each: Assumption) -> Line:
    sentence = f"Always: {words.phrase(each.holds)}."
    return Line(name=each.name, sentence=sentence, typed=(text(each.holds),), hint=each.reason)


def _interlock(words: Words, each: Interlock) -> Line:
    typed = tuple(text(part) for part in each.subjects)
    if each.condition is not None:
        typed = (*typed, f"condition {text(each.condition)}")
    demand = _demand(words, each)
    said = demand.rstrip(".") == each.label or not each.label
    sentence = demand if said else f"{each.label}. {demand}"
    return Line(name=each.name, sentence=sentence, typed=typed, hint=each.why)


def _node(_: Words, node: Node) -> Line:
    channels = f"{len(node.channels)} channels, {len(node.inputs)} input pins"
    limit = f", {node.limit_ma / 1000:g} A in all" if node.limit_ma else ""
    return Line(name=node.name, sentence=f"{capital(node.label)}: {channels}{limit}.")


def _wire(words: Words, wire: Wire) -> Line:
    signals = {name: signal.label for name, signal in words.signals.items()}
    label = words.outputs.get(wire.name) or signals.get(wire.name, "lamp head")
    return Line(name=wire.place, sentence=f"{wire.name}: {label}.")


def _demand(words: Words, each: Interlock) -> str:
    about = listed([_thing(words, part) for part in each.subjects], "and")
    condition = words.phrase(each.condition) if each.condition is not None else ""
    # Of several things each is meant by itself.
    be = verb(about) if len(each.subjects) == 1 else "are"
    sentences = {
        InterlockKind.NEVER_UNLESS: f"{about} {be} never on unless {condition}",
        InterlockKind.ALWAYS_WHEN: f"{about} {be} always on when {condition}",
        InterlockKind.NEVER_TOGETHER: f"never two of {about} together",
        InterlockKind.EXACTLY_ONE: f"exactly one of {about}",
        InterlockKind.COLOUR_WITHIN_PROFILE: "no head shows a colour that its zone forbids",
        InterlockKind.LATCH_RELEASABLE: f"every latch{_of(about)} can be released",
        InterlockKind.OUTPUT_REACHABLE: f"{about or 'every output'} can come on",
    }
    late = f", judged after {each.allow_s:g} s" if each.allow_s else ""
    return f"{capital(sentences[each.kind])}{late}."


def _of(about: str) -> str:
    return f" of {about}" if about else ""


def _thing(words: Words, part: Expression) -> str:
    name = text(part)
    return words.outputs.get(name) or f"({words.phrase(part)})"


def usable(logic: Logic) -> list[tuple[str, list[Usable]]]:
    """Signals as they are compared, terms and outputs, each with what they mean."""
    signals = [Usable(snippet=_snippet(each), label=each.label) for each in logic.signals]
    terms = [Usable(snippet=each.name, label=each.label) for each in logic.terms]
    outputs = [Usable(snippet=each.name, label=each.label) for each in logic.outputs]
    groups = [("Signals", signals), ("Terms", terms), ("Outputs", outputs)]
    return [group for group in groups if group[1]]


def _snippet(signal: Signal) -> str:
    if signal.kind is SignalKind.POSITION:
        return f"{signal.name} is {signal.positions[0]}"
    if signal.kind is SignalKind.MEASURED:
        return f"{signal.name} at least {signal.thresholds[0].operand}"
    return signal.name
