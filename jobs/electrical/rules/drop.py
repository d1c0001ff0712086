"""Voltage lost between supply and load: feed at its summed peak, branch at its own, return too."""

from functools import lru_cache

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Circuit, ReturnPath
from jobs.electrical.rule_sets.shape import Limit
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.electrical.voltage_drop import percent_of, voltage_drop_v
from jobs.findings import Finding, Severity, Step, at_most, number, undetermined

RULE = "voltage_drop"


def voltage_drop(case: Case, circuit: Circuit) -> list[Finding]:
    """Feed + branch + return at peak <= the limit of the circuit or of its strictest load."""
    limit, target = drop_limit(case, circuit)
    supply_v = case.supply_v(case.feeds[circuit.feed])
    branch_v, feed_v = branch_drop_v(case, circuit), feed_drop_v(case, circuit)
    missing = _missing(case, circuit)
    if branch_v is None or supply_v is None:
        return [_undetermined(circuit, missing or "the supply has no voltage", limit)]
    total_v = branch_v + (feed_v or 0.0)  # without the feed it is a least value
    percent = percent_of(part=total_v, whole=supply_v)
    passes = at_most(percent, limit.value)
    if missing and passes:
        return [_undetermined(circuit, missing, limit)]
    over_target = target is not None and not at_most(percent, target.value)
    if passes and not over_target and case.problems_only:
        return []
    severity = Severity.FAIL if not passes else Severity.WARNING if over_target else Severity.PASS
    over = target.value if target is not None and passes and over_target else limit.value
    return [
        Finding(
            rule=RULE,
            severity=severity,
            subject=circuit.ref,
            message=(
                f"{number(total_v)} V lost to the load at peak, {percent:.1f} % of "
                f"{number(supply_v)} V; {number(over)} % {'wanted' if passes else 'allowed'}."
            ),
            measured=percent,
            limit=over,
            unit="%",
            fix="" if severity is Severity.PASS else "Use a thicker or shorter conductor.",
            source=limit.source,
            steps=drop_steps(case, circuit, supply_v, total_v, percent),
        )
    ]


def drop_limit(case: Case, circuit: Circuit) -> tuple[Limit, Limit | None]:
    """The circuit's own limit if one is set, else that of its strictest load; and the target."""
    if circuit.drop_limit_percent is not None:
        own = Limit(value=circuit.drop_limit_percent, source="design-input", status="C")
        return own, None
    item = case.drop_class(circuit)
    return item.limit_percent, item.target_percent


def branch_drop_v(case: Case, circuit: Circuit) -> float | None:
    """Drop of the circuit's own conductor and return at its peak."""
    run = case.circuit_runs[circuit.ref]
    if run.peak_a is None or run.loop_ohm is None:
        return None
    return voltage_drop_v(current_a=run.peak_a, resistance_ohm=run.loop_ohm)


def feed_peak_a(case: Case, circuit: Circuit) -> float | None:
    """The feed's summed peak; a circuit that runs only briefly is added to it for itself."""
    feed = case.feed_runs[circuit.feed]
    if feed.peak_a is None:
        return None
    own = case.circuit_runs[circuit.ref].peak_a or 0.0
    return feed.peak_a + own if circuit.intermittent else feed.peak_a


def feed_drop_v(case: Case, circuit: Circuit) -> float | None:
    """Drop of the feed's conductor and return; 0 when the circuit is the feed itself."""
    if circuit.whole_feed:
        return 0.0
    feed, peak = case.feed_runs[circuit.feed], feed_peak_a(case, circuit)
    if peak is None or feed.loop_ohm is None:
        return None
    return voltage_drop_v(current_a=peak, resistance_ohm=feed.loop_ohm)


def fails_at_peak(case: Case, circuit: Circuit) -> bool:
    """Whether the worksheet alone, with what is known of it, is over the limit."""
    supply_v, branch_v = case.supply_v(case.feeds[circuit.feed]), branch_drop_v(case, circuit)
    if supply_v is None or branch_v is None:
        return False
    total_v = branch_v + (feed_drop_v(case, circuit) or 0.0)
    limit = drop_limit(case, circuit)[0]
    return not at_most(percent_of(part=total_v, whole=supply_v), limit.value)


def drop_steps(
    case: Case, circuit: Circuit, supply_v: float, total_v: float, percent: float
) -> tuple[Step, ...]:
    """The sum as one would redo it with a pencil."""
    steps: list[Step] = []
    feed = case.feed_runs[circuit.feed]
    peak = feed_peak_a(case, circuit)
    if not circuit.whole_feed and peak is not None and feed.loop_ohm is not None:
        steps += run_steps(case, feed, peak, "feed")
    branch = case.circuit_runs[circuit.ref]
    if branch.peak_a is not None and branch.loop_ohm is not None:
        steps += run_steps(case, branch, branch.peak_a, "branch")
    steps.append(Step(symbol="V_total", formula="V_feed + V_branch", value=total_v, unit="V"))
    formula = f"100 x {number(total_v)} V / {number(supply_v)} V"
    steps.append(Step(symbol="drop", formula=formula, value=percent, unit="%"))
    return tuple(steps)


def run_steps(case: Case, run: Run, amps: float, name: str) -> tuple[Step, ...]:
    """Resistance of one run out and back, and what a current loses in it."""
    body = run.conductor.return_path is ReturnPath.BODY
    return _loss_steps(
        name,
        run.conductor.awg or "",
        run.conductor.length_m or 0.0,
        1 + (case.rules.body_return_fraction.value if body else 1),
        case.rules.resistance_factor,
        run.loop_ohm or 0.0,
        amps,
    )


@lru_cache(maxsize=16_384)
def _loss_steps(
    name: str, awg: str, length_m: float, ways: float, factor: Limit, loop_ohm: float, amps: float
) -> tuple[Step, ...]:
    """A feed's lines stand under each of its circuits, so they are worked once."""
    r20 = SIZE_BY_AWG[awg].r20_ohm_per_kft
    feet = number(length_m / 0.3048)
    return (
        Step(
            symbol=f"R_{name}",
            formula=f"{ways:g} x {feet} ft x {r20:g} ohm / 1000 ft x {factor.value:g}",
            value=loop_ohm,
            unit="ohm",
            source=factor.source,
        ),
        Step(
            symbol=f"V_{name}",
            formula=f"{number(amps)} A x R_{name}",
            value=amps * loop_ohm,
            unit="V",
            source="kirchhoff",
        ),
    )


def _missing(case: Case, circuit: Circuit) -> str:
    branch, feed = case.circuit_runs[circuit.ref], case.feed_runs[circuit.feed]
    if branch.unknown:
        return "no average or peak current entered for a load of this circuit"
    if branch.loop_ohm is None:
        return "length, size or return of the circuit is not entered or not known"
    if circuit.whole_feed:
        return ""
    if feed.loop_ohm is None:
        return f"length, size or return of feed {circuit.feed} is not entered or not known"
    if feed.unknown:
        return f"the currents of {', '.join(feed.unknown)} on the same feed are not entered"
    return ""


def _undetermined(circuit: Circuit, missing: str, limit: Limit) -> Finding:
    return undetermined(
        rule=RULE,
        subject=circuit.ref,
        missing=missing,
        fix="Enter what is missing.",
        source=limit.source,
    )
