"""Is every conductor protected where it starts, will its device open on a fault, and only it?"""

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Conductor, DeviceKind, Feed, SupplyKind
from jobs.electrical.protection import fault_current_a
from jobs.electrical.rule_sets.shape import Limit
from jobs.findings import Finding, Severity, Step, at_least, at_most, judged, number, undetermined

INCH_M = 0.0254


def protected_at_source(case: Case, feed: Feed) -> list[Finding]:
    """The device stands within the allowed distance of each source, along the conductor."""
    if feed.cranking:
        return []
    ends = [(feed.supply, feed.device_a, feed.source_distance_m)]
    if feed.second_supply is not None:
        ends.append((feed.second_supply, feed.second_device_a, feed.second_distance_m))
    findings: list[Finding] = []
    for supply, device_a, distance_m in ends:
        findings += _end(case, feed, supply, device_a, distance_m)
    return findings


def _end(
    case: Case, feed: Feed, supply: str, device_a: float | None, distance_m: float | None
) -> list[Finding]:
    limit = _distance_limit(case, feed, supply)
    linked = feed.second_supply is not None
    subject = f"feed {feed.ref}" + (f" at {supply}" if linked else "")
    rule = "protected_at_source"
    if device_a is None:
        missing = f"no device entered at {supply}" + (
            "; a link between two supplies needs one at both ends" if linked else ""
        )
        fix = "Enter the device that protects this conductor."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=limit.source)
        ]
    if distance_m is None:
        missing, fix = f"the distance from {supply} to its device is not entered", "Enter it."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=limit.source)
        ]
    passes = at_most(distance_m, limit.value)
    if passes and case.problems_only:
        return []
    inches, most = number(distance_m / INCH_M), number(limit.value / INCH_M)
    return judged(
        rule=rule,
        subject=subject,
        passes=passes,
        message=f"Device {inches} in from {supply} along the conductor; {most} in allowed.",
        measured=distance_m / INCH_M,
        limit=limit.value / INCH_M,
        unit="in",
        fix="Move the device nearer to the source.",
        source=limit.source,
    )


def _distance_limit(case: Case, feed: Feed, supply: str) -> Limit:
    distance = case.rules.distance
    if case.supplies[supply].kind is SupplyKind.BATTERY:
        return distance.battery_m
    return distance.sheathed_m if feed.sheathed else distance.open_m


def device_kind(case: Case, run: Run) -> list[Finding]:
    """Protection that people reset by hand, where the rule set asks for it; no cycling feeds."""
    kind, subject = run.conductor.device_kind, run.subject
    source = "33cfr183-455a" if case.rules.manual_reset_only else "sae-j553"
    if kind is None:
        fix = "Enter the kind of device."
        missing = "the kind of device is not entered"
        return [
            undetermined(
                rule="device_kind", subject=subject, missing=missing, fix=fix, source=source
            )
        ]
    resets = kind in (DeviceKind.BREAKER_AUTO, DeviceKind.BREAKER_MODIFIED)
    cycling_feed = run.what == "feed" and kind is DeviceKind.BREAKER_AUTO
    refused = resets and case.rules.manual_reset_only
    if (not refused and not cycling_feed) and case.problems_only:
        return []
    if not refused and not cycling_feed:
        severity, text = Severity.PASS, "The kind of device suits its place."
    elif refused:
        severity, text = Severity.FAIL, "The device closes again without a person."
    else:
        severity, text = Severity.WARNING, "An automatic breaker cycles as long as a fault lasts."
    return [
        Finding(
            rule="device_kind",
            severity=severity,
            subject=subject,
            message=text,
            fix="" if severity is Severity.PASS else "Use a manual-reset breaker or a fuse.",
            source=source,
        )
    ]


def fault_clearing(case: Case, run: Run) -> list[Finding]:
    """A bolted fault at the far end drives enough current to open the device quickly."""
    rule, conductor = "fault_clearing", run.conductor
    multiple = _multiple(case, conductor)
    path = _path_ohm(case, run)
    device, supply_v = conductor.device_a, _supply_v(case, conductor)
    if multiple is None or device is None or path is None or supply_v is None:
        missing = "device, length, size or return along the path is not entered or not known"
        fix = "Enter what is missing."
        source = multiple.source if multiple else "common-practice"
        return [
            undetermined(rule=rule, subject=run.subject, missing=missing, fix=fix, source=source)
        ]
    path_ohm = sum(path.values())
    fault_a = fault_current_a(supply_v=supply_v, path_ohm=path_ohm)
    least = multiple.value * device
    passes = at_least(fault_a, least)
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=run.subject,
        passes=passes,
        message=(
            f"A fault at the far end drives {number(fault_a)} A; the {number(device)} A device "
            f"needs {number(least)} A to open quickly."
        ),
        measured=fault_a,
        limit=least,
        unit="A",
        fix="Use a thicker or shorter conductor, or a smaller device.",
        source=multiple.source,
        steps=(
            Step(
                symbol="R_path",
                formula=" + ".join(f"{name} {ohm:.5g} ohm" for name, ohm in path.items()),
                value=path_ohm,
                unit="ohm",
                source="kirchhoff",
            ),
            Step(
                symbol="I_fault",
                formula=f"{number(supply_v)} V / R_path",
                value=fault_a,
                unit="A",
                source="kirchhoff",
            ),
            Step(
                symbol="I_open",
                formula=f"{multiple.value:g} x {number(device)} A",
                value=least,
                unit="A",
                source=multiple.source,
            ),
        ),
    )


def _multiple(case: Case, conductor: Conductor) -> Limit | None:
    return case.fault_multiple.get(str(conductor.device_kind)) if conductor.device_kind else None


def _feed_of(case: Case, conductor: Conductor) -> Feed:
    return (
        conductor if isinstance(conductor, Feed) else case.feeds[case.circuits[conductor.ref].feed]
    )


def _supply_v(case: Case, conductor: Conductor) -> float | None:
    return case.supply_v(_feed_of(case, conductor))


def _path_ohm(case: Case, run: Run) -> dict[str, float] | None:
    """What lies between the supply's terminals and the far end of the run, and back."""
    feed = _feed_of(case, run.conductor)
    path = {"source": case.supplies[feed.supply].internal_resistance_ohm}
    whole = run.what == "feed" or case.circuits[run.conductor.ref].whole_feed
    loops = {} if whole else {"feed": case.feed_runs[feed.ref].loop_ohm}
    loops |= {"feed" if whole else "branch": run.loop_ohm}
    for name, loop in loops.items():
        if loop is None:
            return None
        path[name] = loop
    return path


def selectivity(case: Case, feed: Feed) -> list[Finding]:
    """The feed's device is larger than each of its circuits' devices, with a margin."""
    rule, ratio = "selectivity", case.rules.selectivity_ratio
    below = [item for item in case.circuits_of[feed.ref] if not item.whole_feed]
    subject = f"feed {feed.ref}"
    if not below:
        return []
    unknown = [item.ref for item in below if item.device_a is None]
    known = [(item.device_a, item.ref) for item in below if item.device_a is not None]
    if feed.device_a is None or not known:
        missing, fix = "a device rating is not entered", "Enter the device ratings."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=ratio.source)
        ]
    largest, ref = max(known)
    measured = feed.device_a / largest
    passes = at_least(measured, ratio.value)
    if passes and unknown:
        missing, fix = f"no device entered for {', '.join(unknown)}", "Enter the device ratings."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=ratio.source)
        ]
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=subject,
        passes=passes,
        message=(
            f"{number(feed.device_a)} A feed device over {number(largest)} A of {ref}: ratio "
            f"{number(measured)}; at least {ratio.value:g} so that only the branch opens."
        ),
        measured=measured,
        limit=ratio.value,
        unit="ratio",
        fix="Use a smaller branch device or split the branch.",
        source=ratio.source,
    )
