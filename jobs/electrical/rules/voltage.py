"""The voltage that arrives in each operating mode, by the solved network."""

from jobs.electrical.case import Case
from jobs.electrical.design import Circuit, Mode
from jobs.electrical.flow import Flow
from jobs.electrical.rules.drop import drop_limit, fails_at_peak, run_steps
from jobs.electrical.voltage_drop import percent_of
from jobs.findings import Finding, Severity, Step, at_least, at_most, judged, number, undetermined


def voltage_at_load(case: Case, circuit: Circuit) -> list[Finding]:
    """Lowest voltage over all modes in which the circuit is on >= the parts' minimum."""
    rule, source = "voltage_at_load", "part-datasheet"
    if not circuit.loads or not case.is_on_somewhere(circuit.ref):
        return []
    least = [load.supply_min_v for load in circuit.loads if load.supply_min_v is not None]
    gap = _gap(case, circuit, known_minimum=len(least) == len(circuit.loads))
    found = case.lowest.get(circuit.ref)
    if circuit.ref in case.collapsed:
        return [_collapses(rule, circuit, source)]
    if found is None or not least:
        return [_undetermined(rule, circuit, gap, source)]
    volts, flow = found
    passes = at_least(volts, max(least))
    if passes and gap:
        return [_undetermined(rule, circuit, gap, source)]
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=circuit.ref,
        passes=passes,
        message=(
            f"{number(volts)} V at the load in {_name(flow.mode)} at peak; the part needs "
            f"{number(max(least))} V."
        ),
        measured=volts,
        limit=max(least),
        unit="V",
        fix="Use a thicker or shorter conductor, or a supply nearer to the load.",
        source=source,
        steps=_steps(case, circuit, flow, volts),
    )


def _collapses(rule: str, circuit: Circuit, source: str) -> Finding:
    """No voltage can be stated; the mode's own finding says what happens."""
    return Finding(
        rule=rule,
        severity=Severity.FAIL,
        subject=circuit.ref,
        message="Its load cannot be supplied in a mode in which it is on: the voltage collapses.",
        fix="Use a thicker or shorter conductor, or a supply nearer to the load.",
        source=source,
    )


def drop_in_modes(case: Case, circuit: Circuit) -> list[Finding]:
    """Largest drop over all modes <= the circuit's limit: sees constant-power loads on low bus."""
    found = case.largest_drop.get(circuit.ref)
    supply_v = case.supply_v(case.feeds[circuit.feed])
    if found is None or supply_v is None:
        return []  # voltage_at_load and voltage_drop say what is missing.
    drop, flow = found
    limit = drop_limit(case, circuit)[0]
    percent = percent_of(part=drop, whole=supply_v)
    passes = at_most(percent, limit.value)
    if passes and (case.problems_only or _gap(case, circuit, known_minimum=True)):
        return []
    if not passes and fails_at_peak(case, circuit):
        return []  # voltage_drop says it already.
    return judged(
        rule="drop_in_modes",
        subject=circuit.ref,
        passes=passes,
        message=(
            f"{number(drop)} V lost in {_name(flow.mode)}, {percent:.1f} % of "
            f"{number(supply_v)} V; {number(limit.value)} % allowed."
        ),
        measured=percent,
        limit=limit.value,
        unit="%",
        fix="Use a thicker or shorter conductor.",
        source=limit.source,
        steps=_steps(case, circuit, flow, flow.supply_v - drop),
    )


def operating_point(case: Case, mode: Mode) -> list[Finding]:
    """The loads of a mode can be supplied at all; past collapse there is no voltage to state."""
    [flow] = [item for item in case.flows if item.mode is mode]
    if not flow.fault:
        return []
    return judged(
        rule="operating_point",
        subject=f"mode {mode.key}",
        passes=False,
        message=f"The loads of {_name(mode)} cannot be supplied: {flow.fault}.",
        measured=0.0,
        limit=mode.bus_v,
        unit="V",
        fix="Use thicker or shorter conductors there, or fewer loads at once.",
        source="kirchhoff",
    )


def _gap(case: Case, circuit: Circuit, *, known_minimum: bool) -> str:
    """What keeps the voltage from being known for certain; empty when nothing does."""
    if circuit.ref in case.without_answer:
        return "a mode in which it is on has no operating point"
    if case.circuit_runs[circuit.ref].loop_ohm is None:
        return "length, size or return of the circuit is not entered or not known"
    if not circuit.whole_feed and case.feed_runs[circuit.feed].loop_ohm is None:
        return f"length, size or return of feed {circuit.feed} is not entered or not known"
    unknown = case.feed_runs[circuit.feed].unknown or case.circuit_runs[circuit.ref].unknown
    if unknown:
        return f"no current entered for a load of {', '.join(unknown)}"
    return "" if known_minimum else "a part's lowest supply voltage is not entered"


def _undetermined(rule: str, circuit: Circuit, missing: str, source: str) -> Finding:
    fix = "Enter what is missing."
    return undetermined(rule=rule, subject=circuit.ref, missing=missing, fix=fix, source=source)


def _name(mode: Mode) -> str:
    return mode.name or mode.key


def _steps(case: Case, circuit: Circuit, flow: Flow, volts: float) -> tuple[Step, ...]:
    """The solved voltages as sums that a person can redo: what each conductor loses in the mode."""
    feed, mode = case.feeds[circuit.feed], _name(flow.mode)
    formula = f"bus voltage in {mode}"
    steps = [Step(symbol="V_supply", formula=formula, value=flow.supply_v, unit="V")]
    start, lost = flow.source_v.get(feed.supply, flow.supply_v), ["V_source"]
    formula = "V_supply" if start == flow.supply_v else "V_supply less what the source itself loses"
    steps.append(Step(symbol="V_source", formula=formula, value=start, unit="V"))
    panel = flow.feed_v.get(feed.ref, start)
    for name, run, upper, lower in (
        ("feed", case.feed_runs[feed.ref], start, panel),
        ("branch", case.circuit_runs[circuit.ref], start if circuit.whole_feed else panel, volts),
    ):
        if not run.loop_ohm or (name == "feed" and circuit.whole_feed):
            continue
        amps = (upper - lower) / run.loop_ohm
        formula = f"all that flows through it in {mode}, at peak"
        steps.append(Step(symbol=f"I_{name}", formula=formula, value=amps, unit="A"))
        steps += run_steps(case, run, amps, name)
        lost.append(f"V_{name}")
    formula = " - ".join(lost)
    steps.append(Step(symbol="V_load", formula=formula, value=volts, unit="V", source="kirchhoff"))
    return tuple(steps)
