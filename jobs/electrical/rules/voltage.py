"""The voltage that arrives in each operating mode, by the solved network."""

from jobs.electrical.case import Case, Run
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
    key = (circuit.ref, flow.mode.key)
    if key not in case.kept_steps:
        case.kept_steps[key] = (
            *_feed_steps(case, circuit, flow),
            *_branch_steps(case, circuit, flow, volts),
        )
    return case.kept_steps[key]


def _feed_steps(case: Case, circuit: Circuit, flow: Flow) -> tuple[Step, ...]:
    """From the bus voltage to the panel: the same for every circuit of the feed in a mode."""
    feed, mode = case.feeds[circuit.feed], _name(flow.mode)
    key = (f"feed {feed.ref}", flow.mode.key, circuit.whole_feed)
    if key in case.kept_steps:
        return case.kept_steps[key]
    start = flow.source_v.get(feed.supply, flow.supply_v)
    formula = "V_supply" if start == flow.supply_v else "V_supply less what the source itself loses"
    steps = [
        Step(symbol="V_supply", formula=f"bus voltage in {mode}", value=flow.supply_v, unit="V"),
        Step(symbol="V_source", formula=formula, value=start, unit="V"),
    ]
    if not circuit.whole_feed:
        run = case.feed_runs[feed.ref]
        steps += _loss(case, run, start - flow.feed_v.get(feed.ref, start), "feed", mode)
    case.kept_steps[key] = tuple(steps)
    return case.kept_steps[key]


def _branch_steps(case: Case, circuit: Circuit, flow: Flow, volts: float) -> list[Step]:
    feed = case.feeds[circuit.feed]
    start = flow.source_v.get(feed.supply, flow.supply_v)
    panel = start if circuit.whole_feed else flow.feed_v.get(feed.ref, start)
    run = case.circuit_runs[circuit.ref]
    formula = "V_source - V_branch" if circuit.whole_feed else "V_source - V_feed - V_branch"
    return [
        *_loss(case, run, panel - volts, "branch", _name(flow.mode)),
        Step(symbol="V_load", formula=formula, value=volts, unit="V", source="kirchhoff"),
    ]


def _loss(case: Case, run: Run, lost_v: float, name: str, mode: str) -> list[Step]:
    """The current of one conductor in a mode, its resistance, and the voltage lost there."""
    if not run.loop_ohm:
        return []
    amps = lost_v / run.loop_ohm
    formula = f"all that flows through it in {mode}, at peak"
    current = Step(symbol=f"I_{name}", formula=formula, value=amps, unit="A")
    return [current, *run_steps(case, run, amps, name)]
