"""The smallest change of each kind that makes a failing circuit pass, with what else it changes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from jobs.electrical.case import Case
from jobs.electrical.changes import Change, what_changed
from jobs.electrical.check import check, check_circuit
from jobs.electrical.conductor import METRES_PER_FOOT, copper_kg
from jobs.electrical.design import Circuit, Conductor, Design, Duty, ReturnPath
from jobs.electrical.exchange import with_circuit as with_circuit
from jobs.electrical.exchange import with_feed as with_feed
from jobs.electrical.halves import halves_of
from jobs.electrical.input_check import design_problems
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.electrical.tables.devices import RATINGS_A
from jobs.findings import Severity, at_most, number


class SuggestionKind(StrEnum):
    DEVICE = "device"
    GAUGE = "gauge"
    GAUGE_AND_DEVICE = "gauge and device"
    FEED_GAUGE = "feed gauge"
    FEED_AND_GAUGE = "feed gauge and gauge"
    SHORTER = "shorter run"
    SPLIT = "split"


@dataclass(frozen=True, kw_only=True, slots=True)
class Suggestion:
    """`design` is the whole design with the change made: applying it is storing it.

    `copper_kg` is the copper added; `changes` are all findings that come or go elsewhere too.
    """

    kind: SuggestionKind
    circuit: str
    sentence: str
    design: Design
    copper_kg: float
    changes: tuple[Change, ...]


def suggest(design: Design, ref: str) -> list[Suggestion]:
    """At most one suggestion of each kind; none when the circuit passes or lacks data.

    KeyError for a circuit the design lacks.
    """
    if design_problems(design):
        return []
    case = Case(design, problems_only=True)
    circuit = case.circuits[ref]
    severities = {item.severity for item in check_circuit(case, circuit)}
    if Severity.FAIL not in severities or Severity.UNDETERMINED in severities:
        return []
    before = check(design, problems_only=True)
    found: list[Suggestion] = []
    for kind, sentence, changed in _first_of_each(case, circuit):
        found.append(
            Suggestion(
                kind=kind,
                circuit=ref,
                sentence=sentence,
                design=changed,
                copper_kg=_copper(changed) - _copper(design),
                changes=tuple(what_changed(before, check(changed, problems_only=True))),
            )
        )
    return found


def _first_of_each(case: Case, circuit: Circuit) -> Iterator[tuple[SuggestionKind, str, Design]]:
    alone = thicker = False
    for kind, trials in (
        (SuggestionKind.DEVICE, _devices(case.design, circuit)),
        (SuggestionKind.GAUGE, _gauges(case.design, circuit)),
    ):
        for sentence, changed in trials:
            if _passes(changed, circuit.ref):
                alone = True
                yield kind, sentence, changed
                break
    others = [
        (SuggestionKind.FEED_GAUGE, _feed_gauges(case, circuit)),
        (SuggestionKind.SHORTER, _shorter(case.design, circuit)),
        (SuggestionKind.SPLIT, _splits(case, circuit)),
    ]
    if not alone:
        others.insert(0, (SuggestionKind.GAUGE_AND_DEVICE, _both(case, circuit)))
    for kind, trials in others:
        for sentence, changed in trials:
            refs = _refs_after(changed, circuit.ref)
            if all(_passes(changed, each) for each in refs):
                thicker = thicker or kind is SuggestionKind.FEED_GAUGE
                yield kind, sentence, changed
                break
    if not alone and not thicker:
        yield from _feed_and_gauge(case, circuit)


def _passes(design: Design, ref: str) -> bool:
    case = Case(design, problems_only=True)
    found = check_circuit(case, case.circuits[ref])
    return not any(item.severity in (Severity.FAIL, Severity.UNDETERMINED) for item in found)


def _refs_after(design: Design, ref: str) -> list[str]:
    """The circuit itself and, after a split, its second half."""
    return [item.ref for item in design.circuits if item.ref in (ref, second_half_ref(ref))]


def second_half_ref(ref: str) -> str:
    return f"{ref}B"


def _gauges(design: Design, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    for awg in _thicker(circuit):
        yield f"Use {awg} AWG.", with_circuit(design, replace(circuit, awg=awg))


def _listed(case: Case, conductor: Conductor) -> list[str]:
    """Thicker sizes for which the rule set has an ampacity."""
    return [awg for awg in _thicker(conductor) if case.derated(replace(conductor, awg=awg))]


def _thicker(conductor: Conductor) -> tuple[str, ...]:
    if conductor.awg not in THIN_TO_THICK:
        return ()
    return THIN_TO_THICK[THIN_TO_THICK.index(conductor.awg) + 1 :]


def _devices(design: Design, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    """Ratings of the same kind, nearest to the present one first."""
    present = circuit.device_a or 0.0
    ratings = RATINGS_A[str(circuit.device_kind)] if circuit.device_kind else ()
    for amps in sorted(ratings, key=lambda rating: abs(rating - present)):
        if amps != present:
            text = f"Use a {number(amps)} A device."
            yield text, with_circuit(design, replace(circuit, device_a=amps))


def _both(case: Case, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    """Thicker wire with a device that suits both it and the load."""
    run, rules = case.circuit_runs[circuit.ref], case.rules
    ratings = RATINGS_A[str(circuit.device_kind)] if circuit.device_kind else ()
    for awg in _thicker(circuit):
        thicker = replace(circuit, awg=awg)
        ampacity = case.derated(thicker)
        for amps in ratings if ampacity else ():
            carries = at_most(run.heating_a or 0.0, rules.continuous_fraction.value * amps)
            protects = ampacity is not None and at_most(
                amps, case.device_over_ampacity.value * ampacity.amps
            )
            if carries and protects:
                text = f"Use {awg} AWG with a {number(amps)} A device."
                yield text, with_circuit(case.design, replace(thicker, device_a=amps))


def _feed_gauges(case: Case, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    if circuit.whole_feed:
        return
    feed = case.feeds[circuit.feed]
    for awg in _thicker(feed):
        yield f"Use {awg} AWG for feed {feed.ref}.", with_feed(case.design, replace(feed, awg=awg))


def _feed_and_gauge(case: Case, circuit: Circuit) -> Iterator[tuple[SuggestionKind, str, Design]]:
    """Both thicker, with the least copper. The thicker the feed, the thinner the branch may be."""
    feed = case.feeds[circuit.feed]
    branches = [] if circuit.whole_feed else _listed(case, circuit)
    found: list[tuple[float, str, Design]] = []
    for feed_awg in _listed(case, feed):
        wider = with_feed(case.design, replace(feed, awg=feed_awg))
        passing = None
        while branches:
            changed = with_circuit(wider, replace(circuit, awg=branches[-1]))
            if not _passes(changed, circuit.ref):
                break
            passing = (branches.pop(), changed)
        if passing is not None:
            text = f"Use {feed_awg} AWG for feed {feed.ref} and {passing[0]} AWG for {circuit.ref}."
            found.append((_copper(passing[1]), text, passing[1]))
    if found:
        _, sentence, design = min(found, key=lambda each: each[0])
        yield SuggestionKind.FEED_AND_GAUGE, sentence, design


def _shorter(design: Design, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    """The longest run, in tenths of a foot, that still passes; found by halving."""
    tenths = int((circuit.length_m or 0.0) / METRES_PER_FOOT * 10)
    low, high = 0, tenths + 1
    while high - low > 1:
        middle = (low + high) // 2
        if _passes(_with_tenths(design, circuit, middle), circuit.ref):
            low = middle
        else:
            high = middle
    if low > 0:
        yield (
            f"Shorten the run to {low / 10:g} ft one way.",
            _with_tenths(design, circuit, low),
        )


def _with_tenths(design: Design, circuit: Circuit, tenths: int) -> Design:
    return with_circuit(design, replace(circuit, length_m=tenths / 10 * METRES_PER_FOOT))


def _splits(case: Case, circuit: Circuit) -> Iterator[tuple[str, Design]]:
    """Half of the pieces on a second circuit of the same make, which needs its own channel."""
    halves = halves_of(circuit.loads)
    if halves is None or circuit.whole_feed:
        return
    design, ref = case.design, second_half_ref(circuit.ref)
    # A schedule has room for ten characters.
    if ref in case.circuits or len(ref) > 10:
        return
    first = replace(circuit, loads=halves[0])
    second = replace(circuit, ref=ref, label=ref, node=None, channel="", loads=halves[1])
    modes = tuple(
        replace(
            mode,
            duty=(
                *mode.duty,
                *(
                    Duty(circuit=ref, fraction=duty.fraction)
                    for duty in mode.duty
                    if duty.circuit == circuit.ref
                ),
            ),
        )
        for mode in design.modes
    )
    changed = replace(with_circuit(design, first), modes=modes)
    changed = replace(changed, circuits=(*changed.circuits, second))
    yield f"Split the loads over two circuits, {circuit.ref} and {ref}.", changed


def _copper(design: Design) -> float:
    """Copper in all runs and their return wires [kg]; runs without data count nothing."""
    total = 0.0
    for item in (*design.feeds, *(each for each in design.circuits if not each.whole_feed)):
        if item.awg in THIN_TO_THICK and item.length_m is not None:
            ways = 2 if item.return_path is ReturnPath.WIRE else 1
            total += ways * copper_kg(awg=item.awg or "", length_m=item.length_m)
    return total
