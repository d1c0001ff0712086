"""The prediction against the scale ticket of the finished vehicle."""

from jobs.findings import Finding, Severity, Step, at_least, at_most, judged
from jobs.weight.axles import AxleLoads, with_items
from jobs.weight.case import WeightCase
from jobs.weight.loads import POUND_KG
from jobs.weight.rules.ratings import WARN_FRACTION

# Larger than this, something is heavier or elsewhere than the build sheet says.
TOLERANCE_PERCENT = 3.0


def predicted_against_scale(case: WeightCase) -> list[Finding]:
    """Scale total within 3 % of the prediction; and the loaded axles again from the scale."""
    vehicle, empty = case.vehicle, case.empty
    if vehicle.scale_front_kg is None or vehicle.scale_rear_kg is None or empty is None:
        return []
    if empty.total_kg <= 0:
        return []  # axle_loads says that the places or weights make no sense.
    scale = AxleLoads(front_kg=vehicle.scale_front_kg, rear_kg=vehicle.scale_rear_kg)
    percent = 100 * (scale.total_kg - empty.total_kg) / empty.total_kg
    findings = judged(
        rule="predicted_against_scale",
        subject="scale",
        passes=at_most(abs(percent), TOLERANCE_PERCENT),
        message=(
            f"Scale {scale.total_kg / POUND_KG:,.0f} lb, predicted "
            f"{empty.total_kg / POUND_KG:,.0f} lb: {percent:+.1f} %; "
            f"{TOLERANCE_PERCENT:g} % allowed."
        ),
        measured=abs(percent),
        limit=TOLERANCE_PERCENT,
        unit="%",
        fix="Find what is heavier or lighter than entered, or weigh again.",
        source="common-practice",
        steps=tuple(
            Step(symbol=symbol, formula=formula, value=mass / POUND_KG, unit="lb")
            for symbol, formula, mass in (
                ("W_scale", "scale ticket", scale.total_kg),
                ("W_predicted", "received + items", empty.total_kg),
            )
        ),
    )
    return findings + _loaded_from_scale(case, scale)


def _loaded_from_scale(case: WeightCase, scale: AxleLoads) -> list[Finding]:
    """Scale ticket plus crew and gear on each axle."""
    loaded = with_items(scale, case.design.payload, wheelbase_m=case.vehicle.wheelbase_m or 1.0)
    findings: list[Finding] = []
    for axle, load, rating in (
        ("front", loaded.front_kg, case.vehicle.gawr_front_kg),
        ("rear", loaded.rear_kg, case.vehicle.gawr_rear_kg),
    ):
        if rating is None:
            continue  # axle_loads says so.
        fits = at_most(load, rating)
        comfortable = not at_least(load, WARN_FRACTION * rating)
        findings += judged(
            rule="axle_load_from_scale",
            subject=f"{axle} axle",
            passes=fits and comfortable,
            otherwise=Severity.WARNING if fits else Severity.FAIL,
            message=(
                f"{load / POUND_KG:,.0f} lb from the scale with crew and gear, "
                f"{100 * load / rating:.1f} % of the GAWR."
            ),
            measured=load / POUND_KG,
            limit=(WARN_FRACTION * rating if fits and not comfortable else rating) / POUND_KG,
            unit="lb",
            fix="Move heavy items towards the other axle, or take weight out.",
            source="49cfr571-3",
        )
    return findings
