"""Does a switch-on surge open the device?"""

from jobs.electrical.case import Case
from jobs.electrical.design import Circuit
from jobs.findings import Finding, at_most, judged, number, undetermined

RULE = "inrush"


def inrush(case: Case, circuit: Circuit) -> list[Finding]:
    """A short surge <= 2 x the device; one that lasts counts as a load. Loads start one by one."""
    surges = [load for load in circuit.loads if load.inrush_a]
    if not surges:
        return []
    multiple, short = case.rules.inrush_multiple, case.rules.inrush_short_s
    device = circuit.device_a
    if device is None or any(load.inrush_s is None for load in surges):
        missing = "the device rating or the length of a surge is not entered"
        fix = "Enter the device, and the surge's milliseconds in the catalog."
        return [
            undetermined(
                rule=RULE, subject=circuit.ref, missing=missing, fix=fix, source=multiple.source
            )
        ]
    worst = max(
        surges,
        key=lambda load: (
            load.quantity * (load.inrush_a or 0) / _allowed(case, device, load.inrush_s or 0)
        ),
    )
    measured = worst.quantity * (worst.inrush_a or 0.0)
    limit = _allowed(case, device, worst.inrush_s or 0.0)
    passes = at_most(measured, limit)
    if passes and case.problems_only:
        return []
    lasting = f"{number((worst.inrush_s or 0.0) * 1000)} ms"
    return judged(
        rule=RULE,
        subject=circuit.ref,
        passes=passes,
        message=(
            f"{worst.name or worst.ref} surges to {number(measured)} A for {lasting}; "
            f"{number(limit)} A passes the {number(device)} A device."
        ),
        measured=measured,
        limit=limit,
        unit="A",
        fix=f"Use a slower or larger device, or start loads one by one (short: {short.value:g} s).",
        source=multiple.source,
    )


def _allowed(case: Case, device_a: float, lasting_s: float) -> float:
    short = at_most(lasting_s, case.rules.inrush_short_s.value)
    return device_a * (case.rules.inrush_multiple.value if short else 1.0)
