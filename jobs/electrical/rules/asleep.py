"""What the vehicle draws with the key off and everything asleep."""

from collections.abc import Iterator

from jobs.electrical.battery import parked_days
from jobs.electrical.case import Case
from jobs.electrical.design import Mode
from jobs.findings import Finding, Step, at_most, judged, number, undetermined


def asleep_current(case: Case, mode: Mode) -> list[Finding]:
    """Added key-off current <= 30 mA and total <= 85 mA; says how many days that leaves."""
    if not mode.asleep:
        return []
    rule, subject = "asleep_current", f"mode {mode.key}"
    added_limit, total_limit = case.rules.keyoff_added_a, case.rules.keyoff_total_a
    unit = case.design.unit
    added, missing = _asleep_a(case, mode)
    if unit.keyoff_baseline_a is None:
        missing.append("the vehicle's own key-off current")
    total = added + (unit.keyoff_baseline_a or 0.0)
    added_ok, total_ok = at_most(added, added_limit.value), at_most(total, total_limit.value)
    if missing and added_ok and total_ok:
        text = f"not entered: {', '.join(missing)}"
        fix = "Enter the standby currents, and measure the vehicle before work."
        return [
            undetermined(
                rule=rule, subject=subject, missing=text, fix=fix, source=added_limit.source
            )
        ]
    if added_ok and total_ok and case.problems_only:
        return []
    by_total = added_ok and not total_ok
    measured, limit = (total, total_limit) if by_total else (added, added_limit)
    capacity = unit.battery_ah
    days = (
        f" Parked for {parked_days(capacity_ah=capacity, usable_fraction=0.5, current_a=total):.0f}"
        " days to half charge."
        if capacity is not None and total > 0
        else ""
    )
    return judged(
        rule=rule,
        subject=subject,
        passes=added_ok and total_ok,
        message=(
            f"{number(1000 * measured)} mA {'in all' if by_total else 'added'} with the key off; "
            f"{number(1000 * limit.value)} mA allowed.{days}"
        ),
        measured=1000 * measured,
        limit=1000 * limit.value,
        unit="mA",
        fix="Put a load behind a timer, or feed it through a node that sleeps.",
        source=limit.source,
        steps=(
            *_lines(case, mode),
            Step(symbol="I_added", formula="sum", value=1000 * added, unit="mA"),
            Step(
                symbol="I_baseline",
                formula="measured before work",
                value=1000 * (unit.keyoff_baseline_a or 0.0),
                unit="mA",
            ),
            Step(symbol="I_total", formula="I_added + I_baseline", value=1000 * total, unit="mA"),
        ),
    )


def _lines(case: Case, mode: Mode) -> Iterator[Step]:
    """What stays fed, piece by piece; what draws nothing is left out."""
    for node in case.design.nodes:
        if node.sleep_a:
            milliamps = 1000 * node.sleep_a
            yield Step(symbol=f"I_{node.ref}", formula="asleep", value=milliamps, unit="mA")
    for duty in mode.duty:
        for load in case.circuits[duty.circuit].loads:
            if load.standby_a:
                each = 1000 * load.standby_a
                yield Step(
                    symbol=f"I_{duty.circuit}",
                    formula=f"{load.quantity} x {number(each)} mA x {duty.fraction:g}",
                    value=load.quantity * each * duty.fraction,
                    unit="mA",
                )


def _asleep_a(case: Case, mode: Mode) -> tuple[float, list[str]]:
    """Standby current of what stays fed, and the names of what is not entered."""
    added, missing = 0.0, []
    for node in case.design.nodes:
        if node.sleep_a is None:
            missing.append(f"sleep current of node {node.ref}")
        added += node.sleep_a or 0.0
    for duty in mode.duty:
        for load in case.circuits[duty.circuit].loads:
            if load.standby_a is None:
                missing.append(f"standby current of {load.name or load.ref} on {duty.circuit}")
            added += duty.fraction * load.quantity * (load.standby_a or 0.0)
    return added, missing
