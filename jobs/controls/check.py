"""Whether a logic makes sense at all, before anything is proved about it."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from math import isfinite

from jobs.controls.grammar import KEYWORDS
from jobs.controls.logic import Interlock, InterlockKind, Logic, Rule
from jobs.controls.order import LogicError
from jobs.controls.signals import Signal, SignalKind, Substitution
from jobs.controls.whole import check_whole

NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,39}")
MAX_VALUES = 32
MAX_DELAY_S = 86_400.0
MAX_RULES_OF_ONE = 30
MAX_TOGGLES = 2


def check(logic: Logic) -> None:
    """Raise LogicError with the first problem found."""
    for path, message in problems(logic):
        raise LogicError(f"{path}: {message}", path=path)
    check_whole(logic)


def problems(logic: Logic) -> Iterator[tuple[str, str]]:
    """Path and sentence of everything wrong with single entries."""
    yield from _names(
        {
            "signals": [each.name for each in logic.signals],
            "terms": [each.name for each in logic.terms],
            "outputs": [each.name for each in logic.outputs],
        }
    )
    yield from _repeated("rules", [each.name for each in logic.rules])
    yield from _repeated("heads", [each.name for each in logic.heads])
    yield from _repeated("interlocks", [each.name for each in logic.interlocks])
    for at, signal in enumerate(logic.signals):
        for message in _signal(signal):
            yield f"signals[{at}]", message
    outputs = {output.name for output in logic.outputs}
    for at, output in enumerate(logic.outputs):
        if output.series and output.series not in outputs:
            yield f"outputs[{at}].series", f"“{output.series}” is no output."
    signals = {signal.name: signal for signal in logic.signals}
    for at, rule in enumerate(logic.rules):
        for message in _rule(rule, outputs, signals):
            yield f"rules[{at}]", message
    yield from _priorities(logic)
    yield from _heads(logic, signals)
    for at, interlock in enumerate(logic.interlocks):
        for message in _interlock(interlock, logic):
            yield f"interlocks[{at}]", message


def check_names(names: dict[str, list[str]], signals: Iterable[Signal]) -> None:
    """Raise LogicError for a name or signal with which no expression can be read."""
    found = [*_names(names)]
    for at, signal in enumerate(signals):
        found += [(f"signals[{at}]", message) for message in _signal(signal)]
    for path, message in found:
        raise LogicError(f"{path}: {message}", path=path)


def _names(names: dict[str, list[str]]) -> Iterator[tuple[str, str]]:
    """Signals, terms and outputs share one list of names; capitals do not tell names apart."""
    seen: dict[str, str] = {}
    for part, entries in names.items():
        for at, name in enumerate(entries):
            path = f"{part}[{at}].name"
            if not NAME.fullmatch(name) or name.lower() in KEYWORDS:
                yield path, f"“{name}” is not a name: letters, digits and _ only, at most 40."
            if name.lower() in seen:
                yield path, f"“{name}” is used twice, also at {seen[name.lower()]}."
            seen[name.lower()] = path


def _repeated(part: str, used: list[str]) -> Iterator[tuple[str, str]]:
    seen: set[str] = set()
    for at, name in enumerate(used):
        if name in seen:
            yield f"{part}[{at}].name", f"“{name}” is used twice."
        seen.add(name)


def _signal(signal: Signal) -> Iterator[str]:
    if signal.kind is SignalKind.POSITION:
        folded = [position.lower() for position in signal.positions]
        if not 2 <= len(set(folded)) == len(folded) <= MAX_VALUES:
            yield f"{signal.name} needs 2 to {MAX_VALUES} different positions."
            return
    if signal.kind is SignalKind.MEASURED:
        values = [threshold.value for threshold in signal.thresholds]
        if not 1 <= len(values) < MAX_VALUES or values != sorted(set(values)):
            yield f"{signal.name} needs 1 to {MAX_VALUES - 1} thresholds, each above the last."
            return
    if signal.may_be_unknown and not signal.unsafe:
        yield f"{signal.name} may be unknown, so its unsafe value must be stated."
    for what in ("de_energised", "unsafe", "rest"):
        yield from _value(signal, getattr(signal, what), what)


def _value(signal: Signal, value: str, what: str) -> Iterator[str]:
    if not value:
        return
    try:
        signal.index(value)
    except ValueError as error:
        yield f"{what}: {error}"


def _rule(rule: Rule, outputs: set[str], signals: dict[str, Signal]) -> Iterator[str]:
    if rule.output not in outputs:
        yield f"“{rule.output}” is no output."
    for seconds in (rule.on_delay_s, rule.off_delay_s):
        if not isfinite(seconds) or not 0 <= seconds <= MAX_DELAY_S:
            yield f"a delay must lie between 0 and {MAX_DELAY_S:,.0f} s, not {seconds:g}."
    if rule.toggle and rule.reset is None:
        yield "a rule that toggles needs a reset."
    yield from _substitutions(rule.unsafe, signals)


def _substitutions(unsafe: Iterable[Substitution], signals: dict[str, Signal]) -> Iterator[str]:
    for each in unsafe:
        if each.signal not in signals:
            yield f"unsafe: “{each.signal}” is no signal."
        else:
            yield from _value(signals[each.signal], each.value, "unsafe")


def _priorities(logic: Logic) -> Iterator[tuple[str, str]]:
    for output, count in Counter(rule.output for rule in logic.rules).items():
        if count > MAX_RULES_OF_ONE:
            yield "rules", f"{output} has {count} rules; at most {MAX_RULES_OF_ONE}."
    for output, count in Counter(rule.output for rule in logic.rules if rule.toggle).items():
        if count > MAX_TOGGLES:
            yield "rules", f"{output} has {count} rules that toggle; at most {MAX_TOGGLES}."
    taken: dict[tuple[str, int], str] = {}
    for at, rule in enumerate(logic.rules):
        other = taken.setdefault((rule.output, rule.priority), rule.name)
        if other != rule.name:
            message = (
                f"{other} and {rule.name} both drive {rule.output} with priority {rule.priority}; "
                "give one of them a higher priority."
            )
            yield f"rules[{at}].priority", message


def _heads(logic: Logic, signals: dict[str, Signal]) -> Iterator[tuple[str, str]]:
    for at, head in enumerate(logic.heads):
        path = f"heads[{at}]"
        for message in _substitutions(head.unsafe, signals):
            yield path, message
        for pattern in head.patterns:
            if extra := set(pattern.colours) - set(head.colours):
                yield path, f"{pattern.name} uses {min(extra)}, which {head.name} does not have."
            if len(pattern.colours) > head.max_colours_lit and not pattern.alternates:
                limit = head.max_colours_lit
                yield (
                    path,
                    f"{pattern.name} lights {len(pattern.colours)} colours; at most {limit}.",
                )


def _interlock(interlock: Interlock, logic: Logic) -> Iterator[str]:
    needs = {InterlockKind.NEVER_TOGETHER: 2, InterlockKind.EXACTLY_ONE: 2}
    needs |= {InterlockKind.NEVER_UNLESS: 1, InterlockKind.ALWAYS_WHEN: 1}
    if len(interlock.subjects) < needs.get(interlock.kind, 0):
        yield f"{interlock.kind} needs {needs[interlock.kind]} or more subjects."
    if interlock.condition is None and interlock.kind in (
        InterlockKind.NEVER_UNLESS,
        InterlockKind.ALWAYS_WHEN,
    ):
        yield f"{interlock.kind} needs a condition."
    if interlock.kind is InterlockKind.COLOUR_WITHIN_PROFILE and not logic.profile:
        yield "the legal profile is empty, so no colour can be judged."
