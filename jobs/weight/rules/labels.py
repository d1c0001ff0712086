"""What the certification labels ask for. Facts of 49 CFR; who relabels is the shop's to judge."""

from jobs.findings import Finding, Severity, at_least, at_most, judged, undetermined
from jobs.weight.axles import gvwr_floor_kg, label_threshold_kg
from jobs.weight.case import WeightCase
from jobs.weight.loads import POUND_KG


def added_weight(case: WeightCase) -> list[Finding]:
    """Weight added before first retail sale above the lesser of 1.5 % of GVWR or 100 lb."""
    gvwr = case.vehicle.gvwr_kg
    if not case.vehicle.before_first_sale or gvwr is None:
        return []  # total_load says when the GVWR is missing.
    limit, added = label_threshold_kg(gvwr_kg=gvwr), case.added_kg
    passes = at_most(added, limit)
    if passes and case.missing:
        return [_gap("added_weight", "weights are missing")]
    return judged(
        rule="added_weight",
        subject="labels",
        passes=passes,
        otherwise=Severity.WARNING,
        message=(
            f"{added / POUND_KG:,.0f} lb added; above {limit / POUND_KG:,.0f} lb the load labels "
            "must be corrected before first sale."
        ),
        measured=added / POUND_KG,
        limit=limit / POUND_KG,
        unit="lb",
        fix="Plan the corrected labels and who signs them.",
        source="49cfr571-110",
    )


def gvwr_floor(case: WeightCase) -> list[Finding]:
    """GVWR >= unloaded weight + rated cargo + 150 lb per seating position."""
    vehicle = case.vehicle
    if vehicle.seats is None or vehicle.gvwr_kg is None:
        return []
    if case.empty is None or case.missing:
        return [_gap("gvwr_floor", "weights or places are missing")]
    cargo = sum(item.quantity * (item.mass_kg or 0.0) for item in case.design.payload if item.cargo)
    floor = gvwr_floor_kg(unloaded_kg=case.empty.total_kg, cargo_kg=cargo, seats=vehicle.seats)
    return judged(
        rule="gvwr_floor",
        subject="labels",
        passes=at_least(vehicle.gvwr_kg, floor),
        message=(
            f"Unloaded weight, cargo and {vehicle.seats} seats of 150 lb make "
            f"{floor / POUND_KG:,.0f} lb; GVWR {vehicle.gvwr_kg / POUND_KG:,.0f} lb."
        ),
        measured=vehicle.gvwr_kg / POUND_KG,
        limit=floor / POUND_KG,
        unit="lb",
        fix="Fewer seats, less cargo, or less weight added.",
        source="49cfr567-4",
    )


def _gap(rule: str, missing: str) -> Finding:
    fix = "Enter what is missing."
    return undetermined(
        rule=rule, subject="labels", missing=missing, fix=fix, source="design-input"
    )
