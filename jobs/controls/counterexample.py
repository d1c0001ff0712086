"""A broken state, and the sentence that says how to see it."""

from dataclasses import dataclass

from jobs.controls.cones import Cone, moment
from jobs.controls.expressions import Not
from jobs.controls.logic import Interlock, InterlockKind
from jobs.controls.readings import TRUTH, Role, Variable
from jobs.controls.results import Counterexample, Moment, Setting
from jobs.controls.tables import Tables
from jobs.controls.words import Words, capital, listed


@dataclass(frozen=True, kw_only=True, slots=True)
class Trail:
    """Moments from power-up to the broken one, as masks of the variables true in them.

    `matters` are the inputs of the last moment that cannot change without mending it.
    """

    cone: Cone
    before: tuple[int, ...]
    last: int
    matters: tuple[Variable, ...]

    @property
    def moment(self) -> Moment:
        """The last moment, with the outputs that are on in it."""
        return _seen(self.cone, self.last)


def counterexample(trail: Trail, interlock: Interlock) -> Counterexample:
    before = [_seen(trail.cone, true) for true in trail.before]
    final = _seen(trail.cone, trail.last)
    matters = _settings(trail, final)
    sentence = _sentence(trail, interlock, matters, before)
    return Counterexample(sentence=sentence, matters=matters, moments=(*before, final))


def _seen(cone: Cone, true: int) -> Moment:
    """The moment with the outputs that are on in it, as far as the cone knows them."""
    model = cone.model
    known = sum(1 << number for number in cone.order)
    point = Tables.at(model.circuit, true)
    nodes = {output.name: model.energised(output.name) for output in model.logic.outputs}
    on = tuple(
        name
        for name, node in nodes.items()
        if not model.circuit.support[node] & ~known and point.table(node)
    )
    return moment(cone, true, on)


def _settings(trail: Trail, final: Moment) -> tuple[Setting, ...]:
    values = {each.name for each in trail.matters if each.role is Role.VALUE}
    hidden = {each.name for each in trail.matters if each.role is Role.KNOWN}
    return tuple(
        Setting(
            signal=each.signal,
            value=each.value if each.signal in values else "",
            known=each.known,
        )
        for each in final.settings
        if each.signal in values or (each.signal in hidden and not each.known)
    )


def _sentence(
    trail: Trail, interlock: Interlock, matters: tuple[Setting, ...], before: list[Moment]
) -> str:
    words = Words(trail.cone.model.logic)
    steps = [_step(words, each) for each in before]
    final = _seen(trail.cone, trail.last)
    start = f"After power-up: {'; then '.join(steps)}. Then: " if steps else ""
    moved = [words.setting(each) for each in matters if not words.resting(each)]
    resting = [words.setting(each) for each in matters if words.resting(each)]
    now = (listed(moved, "and") or "everything is at rest") + _waiting(words, final)
    rest = f" As at rest: {listed(resting, 'and')}." if resting and moved else ""
    return f"{start}{capital(now)}.{rest} {capital(_verdict(trail, words, interlock))}."


def _step(words: Words, shown: Moment) -> str:
    """What differs from a parked, untouched vehicle."""
    moved = [words.setting(each) for each in shown.settings if not words.resting(each)]
    return (listed(moved, "and") or "everything is at rest") + _waiting(words, shown)


def _waiting(words: Words, shown: Moment) -> str:
    """“, after 2 s”, “, within 10 s”: which delays have run out and which have not."""
    after = [f"{words.rules[name].on_delay_s:g} s" for name in shown.waited]
    within = [f"{words.rules[name].off_delay_s:g} s" for name in shown.held]
    waited = f", after {listed(after, 'and')}" if after else ""
    return waited + (f", within {listed(within, 'and')}" if within else "")


def _verdict(trail: Trail, words: Words, interlock: Interlock) -> str:
    model = trail.cone.model
    point = Tables.at(model.circuit, trail.last)
    rule = words.phrase(interlock.condition) if interlock.condition else "never"
    on = [each for each in interlock.subjects if point.table(model.node(each, TRUTH))]
    off = [words.phrase(Not(inner=each)) for each in interlock.subjects if each not in on]
    ons = [words.phrase(each) for each in on]
    match interlock.kind:
        case InterlockKind.NEVER_UNLESS:
            return f"{listed(ons, 'and')}, which is allowed only while {rule}"
        case InterlockKind.ALWAYS_WHEN:
            return f"{listed(off, 'and')}, which is wrong while {rule}"
        case InterlockKind.OUTPUT_REACHABLE:
            return listed(ons, "and")
        case InterlockKind.LATCH_RELEASABLE:
            return f"{listed(ons, 'and')}, and nothing that follows can turn it off"
        case InterlockKind.COLOUR_WITHIN_PROFILE:
            return _forbidden(trail, point)
        case _:
            return f"{listed(ons, 'and')} at the same time" if on else listed(off, "and")


def _forbidden(trail: Trail, point: Tables) -> str:
    for head, pattern, node in trail.cone.model.forbidden_patterns():
        if point.table(node):
            colours = listed(list(pattern.colours), "and")
            return f"{head.label} shows {colours}, not all allowed in zone {head.zone}"
    raise AssertionError("no forbidden colour is shown")
