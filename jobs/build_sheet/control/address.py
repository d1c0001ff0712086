"""A situation of the logic as part of an address: what is set, what it remembers, what comes next.

at    GEAR:R,PB:off~       signals away from rest; ~ marks one that the inputs cannot see
was   8f3a01bc;10-;4;;7:2.5   digest, what edges saw last, latched, delayed, timers by rule number
set   SPD:12               one change on top
let   10                   seconds that pass after it
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite

from jobs.controls.check import MAX_DELAY_S
from jobs.controls.codec import sha256
from jobs.controls.expressions import Edge, Expression, conditions
from jobs.controls.logic import Logic
from jobs.controls.moments import Seen, State, Timer
from jobs.controls.readings import TRUTH, View
from jobs.controls.results import Setting

MAX_ADDRESS = 8_000
MAX_SECONDS = 86_400.0
UNSEEN = "~"
Key = tuple[str, bool, View]


class AddressError(ValueError):
    """What is wrong with an address, as a sentence."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Situation:
    """What is set on every signal, and what the logic remembers; no state is power-up."""

    settings: dict[str, Setting]
    state: State | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    before: Situation
    change: Setting | None = None
    seconds: float = 0


def resting(logic: Logic) -> dict[str, Setting]:
    return {
        each.name: Setting(signal=each.name, value=each.example(each.rest_index))
        for each in logic.signals
    }


def read(logic: Logic, query: Mapping[str, str]) -> Asked:
    """Raises AddressError when the address speaks of something that this logic has not."""
    if sum(map(len, query.values())) > MAX_ADDRESS:
        raise AddressError(f"The address is longer than {MAX_ADDRESS:,} characters.")
    settings = resting(logic)
    for part in filter(None, query.get("at", "").split(",")):
        settings |= _setting(logic, part)
    was, change = query.get("was", ""), query.get("set", "")
    return Asked(
        before=Situation(settings=settings, state=_state(logic, was) if was else None),
        change=next(iter(_setting(logic, change).values())) if change else None,
        seconds=_number("Seconds to let pass", query.get("let", ""), MAX_SECONDS),
    )


def written(logic: Logic, situation: Situation) -> dict[str, str]:
    """The situation as `at` and `was`."""
    rest = resting(logic)
    away = [each for each in situation.settings.values() if each != rest[each.signal]]
    found = {"at": ",".join(map(write_setting, away))} if away else {}
    if situation.state is not None:
        found["was"] = _memory(logic, situation.state)
    return found


def write_setting(setting: Setting) -> str:
    return f"{setting.signal}:{setting.value}{'' if setting.known else UNSEEN}"


def _setting(logic: Logic, part: str) -> dict[str, Setting]:
    name, colon, value = part.partition(":")
    signal = next((each for each in logic.signals if each.name == name), None)
    if signal is None or not colon:
        raise AddressError(f"“{part[:60]}” is no signal of this logic with a value.")
    known = not value.endswith(UNSEEN)
    value = value.removesuffix(UNSEEN)
    if not known and not signal.may_be_unknown:
        raise AddressError(f"{signal.label} is never unknown.")
    try:
        number = signal.index(value)
    except ValueError:
        raise AddressError(f"{signal.label} cannot be “{value[:40]}”.") from None
    return {name: Setting(signal=name, value=signal.example(number), known=known)}


def _number(what: str, text: str, most: float) -> float:
    if not text:
        return 0
    try:
        number = float(text)
    except ValueError:
        raise AddressError(f"{what}: “{text[:40]}” is no number.") from None
    if not isfinite(number) or not 0 <= number <= most:
        raise AddressError(f"{what}: {text[:40]} is not between 0 and {most:,.0f}.")
    return number


def _edges(logic: Logic) -> list[Key]:
    """Every edge that may be looked at and through which eyes, always in the same order."""
    terms = {term.name: term.when for term in logic.terms}
    found: dict[Key, None] = {}
    looks: list[tuple[View, Iterable[Expression | None]]] = [
        (View(unsafe=rule.unsafe), (rule.when, rule.reset)) for rule in logic.rules
    ]
    looks += [
        (View(unsafe=head.unsafe), [each.when for each in head.patterns]) for head in logic.heads
    ]
    looks += [(TRUTH, (*each.subjects, each.condition)) for each in logic.interlocks]
    for view, parts in looks:
        waiting = [part for part in parts if part is not None]
        while waiting:
            for condition in conditions(waiting.pop()):
                if condition.name in terms:
                    waiting.append(terms[condition.name])
                elif isinstance(condition, Edge):
                    found[condition.name, condition.rising, view] = None
    return list(found)


def _memory(logic: Logic, state: State) -> str:
    number = {rule.name: at for at, rule in enumerate(logic.rules)}
    last = {(each.signal, each.rising, each.eyes): str(int(each.reads)) for each in state.seen}
    return ";".join(
        (
            sha256(logic)[:8],
            "".join(last.get(key, "-") for key in _edges(logic)),
            ",".join(str(number[name]) for name in sorted(state.latched, key=number.__getitem__)),
            ",".join(str(number[name]) for name in sorted(state.delayed, key=number.__getitem__)),
            ",".join(f"{number[each.rule]}:{each.seconds:.9g}" for each in state.timers),
        )
    )


def _state(logic: Logic, was: str) -> State:
    digest, *parts = was.split(";")
    if digest != sha256(logic)[:8]:
        raise AddressError("The logic was changed after this address was made; begin at power-up.")
    if len(parts) != 4:
        raise AddressError("What the address remembers is cut off; begin at power-up.")
    seen, latched, delayed, timers = parts
    return State(
        seen=_seen(logic, seen),
        latched=_rules(logic, latched, {r.name for r in logic.rules if r.latches}),
        delayed=_rules(
            logic, delayed, {r.name for r in logic.rules if r.on_delay_s + r.off_delay_s}
        ),
        timers=tuple(_timer(logic, each) for each in filter(None, timers.split(","))),
    )


def _seen(logic: Logic, marks: str) -> tuple[Seen, ...]:
    keys = _edges(logic)
    if len(marks) != len(keys) or set(marks) - set("01-"):
        raise AddressError("What the address remembers of presses does not fit; begin at power-up.")
    return tuple(
        Seen(signal=signal, rising=rising, eyes=eyes, reads=mark == "1")
        for (signal, rising, eyes), mark in zip(keys, marks, strict=True)
        if mark != "-"
    )


def _rules(logic: Logic, numbers: str, allowed: set[str]) -> frozenset[str]:
    names = {_rule(logic, each) for each in filter(None, numbers.split(","))}
    if names - allowed:
        raise AddressError("The address remembers a rule that keeps nothing; begin at power-up.")
    return frozenset(names)


def _rule(logic: Logic, number: str) -> str:
    if not (number.isascii() and number.isdecimal() and len(number) < 5):
        raise AddressError(f"“{number[:40]}” is no number of a rule.")
    if int(number) >= len(logic.rules):
        raise AddressError(f"There is no rule number {number}; this logic has {len(logic.rules)}.")
    return logic.rules[int(number)].name


def _timer(logic: Logic, part: str) -> Timer:
    number, _, seconds = part.partition(":")
    return Timer(rule=_rule(logic, number), seconds=_number("A delay", seconds, MAX_DELAY_S))
