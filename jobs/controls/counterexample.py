"""The smallest broken state, and the sentence that says how to see it."""

from jobs.controls.cones import groups, moment, nearest, rest_state, widened
from jobs.controls.expressions import Not
from jobs.controls.logic import Interlock, InterlockKind
from jobs.controls.reach import Reach, Visit
from jobs.controls.readings import TRUTH, Role
from jobs.controls.results import Counterexample, Moment, Setting
from jobs.controls.words import Words, capital, listed


def counterexample(reach: Reach, visit: Visit, table: int, interlock: Interlock) -> Counterexample:
    """One of the states in the table over the inputs, shown from power-up on."""
    shown = [_seen(reach, state, inputs) for state, inputs in reach.path(visit)]
    last = nearest(reach.cone, table)
    final = _seen(reach, visit.state, last)
    matters = _matters(reach, visit.state, last, table, final)
    sentence = _sentence(reach, interlock, matters, shown, visit.state * reach.width + last)
    return Counterexample(sentence=sentence, matters=matters, moments=(*shown, final))


def _seen(reach: Reach, carried: int, inputs: int) -> Moment:
    """The moment with the outputs that are on in it, as far as the cone knows them."""
    model = reach.cone.model
    bare = moment(reach.cone, inputs)
    nodes = {output.name: model.energised(output.name) for output in model.logic.outputs}
    state = carried * reach.width + inputs
    on = tuple(name for name, node in nodes.items() if reach.holds(node, state))
    return Moment(settings=bare.settings, run_out=bare.run_out, on=on)


def _matters(
    reach: Reach, carried: int, state: int, table: int, final: Moment
) -> tuple[Setting, ...]:
    """Settings that cannot change without mending it. Those at rest are given up first."""
    cone, size = reach.cone, len(reach.cone.inputs)
    mended = reach.slice(reach.legal, carried) & ~table
    moved = state ^ rest_state(cone)
    cube = 1 << state
    kept: set[tuple[Role, str]] = set()
    for places in sorted(groups(cone), key=lambda each: any(moved >> p & 1 for p in each)):
        wider = widened(cube, places, size)
        if wider & mended:
            variable = cone.model.readings.variables[cone.inputs[places[0]]]
            kept.add((variable.role, variable.name))
        else:
            cube = wider
    return tuple(
        Setting(signal=each.signal, value=each.value * value_matters, known=each.known)
        for each in final.settings
        for value_matters in [(Role.VALUE, each.signal) in kept]
        if value_matters or (not each.known and (Role.KNOWN, each.signal) in kept)
    )


def _sentence(
    reach: Reach,
    interlock: Interlock,
    matters: tuple[Setting, ...],
    before: list[Moment],
    state: int,
) -> str:
    words = Words(reach.cone.model.logic)
    steps = [_step(words, each) for each in before]
    start = f"After power-up: {'; then '.join(steps)}. Then: " if steps else ""
    now = listed([words.setting(each) for each in matters], "and") or "in any state"
    return f"{start}{capital(now)}. {capital(_verdict(reach, words, interlock, state))}."


def _step(words: Words, shown: Moment) -> str:
    """What differs from a parked, untouched vehicle."""
    moved = [
        words.setting(each) for each in shown.settings if not each.known or not words.resting(each)
    ]
    return listed(moved, "and") or "nothing is touched"


def _verdict(reach: Reach, words: Words, interlock: Interlock, state: int) -> str:
    model = reach.cone.model
    rule = words.phrase(interlock.condition) if interlock.condition else ""
    on = [s for s in interlock.subjects if reach.holds(model.node(s, TRUTH), state)]
    off = [words.phrase(Not(inner=s)) for s in interlock.subjects if s not in on]
    ons = [words.phrase(subject) for subject in on]
    match interlock.kind:
        case InterlockKind.NEVER_UNLESS:
            return f"{listed(ons, 'and')}, which is allowed only while {rule or 'never'}"
        case InterlockKind.ALWAYS_WHEN:
            return f"{listed(off, 'and')}, which is wrong while {rule or 'anything'}"
        case InterlockKind.COLOUR_WITHIN_PROFILE:
            return _forbidden(reach, state)
        case _:
            return f"{listed(ons, 'and')} at the same time" if ons else listed(off, "and")


def _forbidden(reach: Reach, state: int) -> str:
    for head, pattern, node in reach.cone.model.forbidden_patterns():
        if reach.holds(node, state):
            colours = listed(list(pattern.colours), "and")
            return f"{head.label} shows {colours}, not all allowed in zone {head.zone}"
    return "a head shows a forbidden colour"
