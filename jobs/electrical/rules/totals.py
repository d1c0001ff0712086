"""Limits of channels, channel groups, modules and panels: what hangs on one must not exceed it."""

from jobs.electrical.case import Case
from jobs.electrical.current import heating_current_a
from jobs.electrical.design import Circuit, Feed, Node
from jobs.electrical.rules.conductors import sum_steps
from jobs.findings import Finding, Step, at_most, judged, number, undetermined


def channel_limit(case: Case, circuit: Circuit) -> list[Finding]:
    """Steady <= 80 % and peak <= 100 % of the channel; the trip is set no higher than it."""
    if circuit.node is None:
        return []
    rule, limit = "channel_limit", circuit.channel_limit_a
    if limit is None:
        missing = f"the limit of channel {circuit.channel or '?'} of {circuit.node} is not entered"
        fix = "Enter the channel's limit from the datasheet."
        return [
            undetermined(
                rule=rule, subject=circuit.ref, missing=missing, fix=fix, source="part-datasheet"
            )
        ]
    name = f"channel {circuit.channel} of {circuit.node}"
    findings = _total(case, rule, circuit.ref, name, limit, [circuit])
    if circuit.device_a is not None and not at_most(circuit.device_a, limit):
        findings += judged(
            rule="channel_trip",
            subject=circuit.ref,
            passes=False,
            message=f"Trip of {number(circuit.device_a)} A is above the {number(limit)} A {name}.",
            measured=circuit.device_a,
            limit=limit,
            unit="A",
            fix="Set the trip no higher than the channel's limit.",
            source="part-datasheet",
        )
    return findings


def contact_limits(case: Case) -> list[Finding]:
    """Each relay or disconnect contact: its circuits together, steady <= 80 %, peak <= 100 %."""
    contacts: dict[str, list[Circuit]] = {}
    for circuit in case.design.circuits:
        if circuit.node is None and (circuit.channel or circuit.contact_limit_a is not None):
            contacts.setdefault(circuit.channel or circuit.ref, []).append(circuit)
    findings: list[Finding] = []
    for name, circuits in contacts.items():
        limits = [each.contact_limit_a for each in circuits if each.contact_limit_a is not None]
        if limits:
            subject = f"contact {name}"
            findings += _total(case, "contact_limit", subject, subject, min(limits), circuits)
    return findings


def module_limit(case: Case, node: Node) -> list[Finding]:
    """The channels of a node together against its limit, and each group against its own."""
    subject, on_node = f"node {node.ref}", case.circuits_on(node.ref)
    findings: list[Finding] = []
    for group in node.groups:
        inside = [item for item in on_node if item.channel in group.channels]
        name = f"group {group.label} of {node.ref}"
        findings += _total(
            case, "group_limit", f"{subject} group {group.label}", name, group.limit_a, inside
        )
    if node.module_limit_a is None:
        missing = "the module's limit is not entered"
        fix = "Enter the module's limit from the datasheet."
        findings.append(
            undetermined(
                rule="module_limit",
                subject=subject,
                missing=missing,
                fix=fix,
                source="part-datasheet",
            )
        )
        return findings
    name = f"module {node.ref}"
    return findings + _total(case, "module_limit", subject, name, node.module_limit_a, on_node)


def panel_limit(case: Case, feed: Feed) -> list[Finding]:
    """The circuits of a feed together against its panel's or bus's limit, if one is entered."""
    if feed.panel_limit_a is None:
        return []
    circuits = case.circuits_of[feed.ref]
    subject, name = f"feed {feed.ref}", f"panel of feed {feed.ref}"
    return _total(case, "panel_limit", subject, name, feed.panel_limit_a, circuits)


def channel_used_once(case: Case, node: Node) -> list[Finding]:
    """No two circuits on one channel."""
    seen: dict[str, str] = {}
    findings: list[Finding] = []
    for circuit in case.circuits_on(node.ref):
        first = seen.setdefault(circuit.channel, circuit.ref)
        if first == circuit.ref or not circuit.channel:
            continue
        findings += judged(
            rule="channel_used_once",
            subject=circuit.ref,
            passes=False,
            message=f"Channel {circuit.channel} of {node.ref} already carries {first}.",
            measured=2.0,
            limit=1.0,
            unit="circuits",
            fix="Move one of the two to a free channel.",
            source="design-input",
        )
    return findings


def _total(
    case: Case, rule: str, subject: str, name: str, limit: float, circuits: list[Circuit]
) -> list[Finding]:
    """Sum of what runs at once: steady within the continuous share, peak within the limit."""
    lasting = [item for item in circuits if not item.intermittent]
    sums, unknown = case.sums_of(circuits if len(circuits) == 1 else lasting)
    peak = sums.peak_a
    heating = heating_current_a(average_a=sums.average_a, swing_a=sums.swing_a)
    share = case.rules.continuous_fraction
    steady_limit = share.value * limit
    steady_ok, peak_ok = at_most(heating, steady_limit), at_most(peak, limit)
    if unknown and steady_ok and peak_ok:
        missing = f"no average or peak current entered for a load of {', '.join(unknown)}"
        fix = "Enter the currents of the part in the catalog."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=share.source)
        ]
    if steady_ok and peak_ok and case.problems_only:
        return []
    by_peak = steady_ok and not peak_ok
    measured, most = (peak, limit) if by_peak else (heating, steady_limit)
    return judged(
        rule=rule,
        subject=subject,
        passes=steady_ok and peak_ok,
        message=(
            f"{number(measured)} A {'peak' if by_peak else 'steady'} on the {name}; "
            f"{number(most)} A allowed."
        ),
        measured=measured,
        limit=most,
        unit="A",
        fix="Move a circuit elsewhere.",
        source=share.source,
        steps=(
            *sum_steps(sums.average_a, sums.peak_a, sums.swing_a, heating),
            Step(
                symbol="I_allowed",
                formula=f"{number(limit)} A" if by_peak else f"{share.value:g} x {number(limit)} A",
                value=most,
                unit="A",
                source=share.source,
            ),
        ),
    )
