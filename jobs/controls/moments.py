"""One moment of the logic: what was remembered, what is set, and what follows from it."""

from dataclasses import dataclass

from jobs.controls.expressions import AllOf, AnyOf, Compare, Edge, Expression, Known, Named, Not
from jobs.controls.logic import Action, Head, Interlock, InterlockKind, Logic, Rule
from jobs.controls.order import by_dependence
from jobs.controls.readings import TRUTH, View, accepted
from jobs.controls.results import Setting
from jobs.controls.signals import Signal


@dataclass(frozen=True, kw_only=True, slots=True)
class Seen:
    """What an edge last saw: a signal through one pair of eyes."""

    signal: str
    rising: bool
    eyes: View
    reads: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Timer:
    rule: str
    seconds: float


@dataclass(frozen=True, kw_only=True, slots=True)
class State:
    """What the logic remembers from one moment to the next."""

    latched: frozenset[str] = frozenset()
    delayed: frozenset[str] = frozenset()
    timers: tuple[Timer, ...] = ()
    seen: tuple[Seen, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    """A pattern that a head shows; empty while it is dark."""

    head: str
    pattern: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Outcome:
    state: State
    commanded: frozenset[str]
    energised: frozenset[str]
    heads: tuple[Shown, ...]
    broken: tuple[str, ...]


class Lookup:
    """One logic by name, with its outputs in the order in which they are worked out."""

    def __init__(self, logic: Logic) -> None:
        self.logic = logic
        self.signals = {signal.name: signal for signal in logic.signals}
        self.terms = {term.name: term.when for term in logic.terms}
        self.outputs = {output.name: output for output in logic.outputs}
        self.rules = {rule.name: rule for rule in logic.rules}
        self.order = list(by_dependence(logic))

    def delay_s(self, rule: str) -> float:
        return max(self.rules[rule].on_delay_s, self.rules[rule].off_delay_s)

    def limit_s(self, rule: str, delayed: frozenset[str]) -> float:
        """How long the rule's present delay takes: the off delay while it is active."""
        found = self.rules[rule]
        return found.off_delay_s if rule in delayed else found.on_delay_s


class Judged:
    """One evaluation: the state before, the settings now, and what follows."""

    def __init__(self, lookup: Lookup, before: State, now: dict[str, Setting]) -> None:
        self.lookup = lookup
        self.before = before
        self.now = now
        self.timers = {timer.rule: timer.seconds for timer in before.timers}
        self.last = {(each.signal, each.rising, each.eyes): each.reads for each in before.seen}
        self.latched: set[str] = set()
        self.delayed: set[str] = set()
        self.running: list[Timer] = []
        self.seen: dict[tuple[str, bool, View], bool] = {}
        self.commanded: dict[str, bool] = {}
        for output, rules in lookup.order:
            self.commanded[output] = self._decided(rules)

    def outcome(self) -> Outcome:
        logic = self.lookup.logic
        heads = tuple(Shown(head=head.name, pattern=self.pattern(head)) for head in logic.heads)
        broken = tuple(each.name for each in logic.interlocks if self.breaks(each))
        seen = tuple(
            Seen(signal=signal, rising=rising, eyes=eyes, reads=reads)
            for (signal, rising, eyes), reads in self.seen.items()
        )
        return Outcome(
            state=State(
                latched=frozenset(self.latched),
                delayed=frozenset(self.delayed),
                timers=tuple(self.running),
                seen=seen,
            ),
            commanded=frozenset(name for name, is_on in self.commanded.items() if is_on),
            energised=frozenset(name for name in self.commanded if self.energised(name)),
            heads=heads,
            broken=broken,
        )

    def pattern(self, head: Head) -> str:
        eyes = View(unsafe=head.unsafe)
        return next((each.name for each in head.patterns if self.holds(each.when, eyes)), "")

    def energised(self, output: str) -> bool:
        series = self.lookup.outputs[output].series
        return self.commanded[output] and (not series or self.energised(series))

    def _decided(self, rules: tuple[Rule, ...]) -> bool:
        is_on = False
        for rule in sorted(rules, key=lambda rule: rule.priority):
            if self._active(rule):
                is_on = rule.action is Action.TURN_ON
        return is_on

    def _active(self, rule: Rule) -> bool:
        eyes = View(unsafe=rule.unsafe)
        is_set = self._delayed(rule, self.holds(rule.when, eyes))
        if rule.reset is None:
            return is_set
        was = rule.name in self.before.latched
        stays = is_set != was if rule.toggle else is_set or was
        active = not self.holds(rule.reset, eyes) and stays
        if active:
            self.latched.add(rule.name)
        return active

    def _delayed(self, rule: Rule, asked: bool) -> bool:
        if not (rule.on_delay_s or rule.off_delay_s):
            return asked
        was = rule.name in self.before.delayed
        active = asked
        if asked != was:
            limit = self.lookup.limit_s(rule.name, self.before.delayed)
            seconds = self.timers.get(rule.name, 0.0)
            if seconds < limit - 1e-9:
                active = was
                self.running.append(Timer(rule=rule.name, seconds=seconds))
        if active:
            self.delayed.add(rule.name)
        return active

    def holds(self, expression: Expression, eyes: View) -> bool:
        match expression:
            case Not(inner=inner):
                return not self.holds(inner, eyes)
            case AllOf(parts=parts):
                # Every part is looked at, because an edge must see its signal at every moment.
                return sum(self.holds(part, eyes) for part in parts) == len(parts)
            case AnyOf(parts=parts):
                return sum(self.holds(part, eyes) for part in parts) > 0
            case Named(name=name) if name in self.lookup.terms:
                return self.holds(self.lookup.terms[name], eyes)
            case Named(name=name) if name in self.lookup.outputs:
                return self.energised(name) if eyes.true_values else self.commanded[name]
            case Known(name=name):
                return self._setting(name).known
            case Edge(name=name, rising=rising):
                return self._edge(name, rising, eyes)
            case Compare(name=name):
                signal = self.lookup.signals[name]
                return self._reads(signal, eyes) in accepted(signal, expression)
            case Named(name=name):
                return self._reads(self.lookup.signals[name], eyes) == 1

    def _setting(self, name: str) -> Setting:
        signal = self.lookup.signals[name]
        return self.now.get(name) or Setting(signal=name, value=signal.example(signal.rest_index))

    def _reads(self, signal: Signal, eyes: View) -> int:
        setting = self._setting(signal.name)
        if setting.known or eyes.true_values:
            return signal.index(setting.value)
        return eyes.substitute(signal)

    def _edge(self, name: str, rising: bool, eyes: View) -> bool:
        reads = self._reads(self.lookup.signals[name], eyes) == 1
        key = (name, rising, eyes)
        self.seen[key] = reads
        return reads == rising and self.last.get(key, rising) != rising

    def breaks(self, interlock: Interlock) -> bool:
        """Whether the interlock is broken now. Those about more than one moment never are."""
        if any(self.lookup.delay_s(timer.rule) <= interlock.allow_s for timer in self.running):
            return False
        subjects = [self.holds(subject, TRUTH) for subject in interlock.subjects]
        applies = interlock.condition is None or self.holds(interlock.condition, TRUTH)
        match interlock.kind:
            case InterlockKind.NEVER_UNLESS:
                return any(subjects) and not (interlock.condition and applies)
            case InterlockKind.ALWAYS_WHEN:
                return applies and not all(subjects)
            case InterlockKind.NEVER_TOGETHER:
                return sum(subjects) > 1
            case InterlockKind.EXACTLY_ONE:
                return applies and sum(subjects) != 1
            case InterlockKind.COLOUR_WITHIN_PROFILE:
                return any(self._forbidden(head) for head in self.lookup.logic.heads)
            case _:
                return False

    def _forbidden(self, head: Head) -> bool:
        shown = self.pattern(head)
        zones = self.lookup.logic.profile
        allowed = {colour for each in zones if each.zone == head.zone for colour in each.colours}
        return any(set(each.colours) - allowed for each in head.patterns if each.name == shown)
