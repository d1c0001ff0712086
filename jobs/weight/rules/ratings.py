"""Loads against the ratings of axles, vehicle and roof, and side against side."""

from math import isfinite

from jobs.findings import Finding, Severity, Step, at_least, at_most, judged, undetermined
from jobs.weight.axles import axle_shares, side_difference_percent
from jobs.weight.case import WeightCase
from jobs.weight.loads import POUND_KG

# Near a rating say so: weights drift by a few per cent between paper and scale.
WARN_FRACTION = 0.95
# From memory of fire-apparatus practice, to be confirmed: side to side.
SIDE_LIMIT_PERCENT = 7.0


def lb(mass_kg: float) -> float:
    return mass_kg / POUND_KG


def data_complete(case: WeightCase) -> list[Finding]:
    """Every weight and place is entered; while one is missing no load below is a pass."""
    if not case.missing:
        return []
    shown = ", ".join(case.missing[:6]) + (" and more" if len(case.missing) > 6 else "")
    return [
        undetermined(
            rule="weight_data",
            subject="total",
            missing=f"{len(case.missing)} entries are missing: {shown}",
            fix="Enter them in the catalog, the build sheet or the unit.",
            source="design-input",
        )
    ]


def gawr_covers_gvwr(case: WeightCase) -> list[Finding]:
    """The axle ratings together at least equal the GVWR; else a rating was typed wrong."""
    front, rear, gvwr = (
        case.vehicle.gawr_front_kg,
        case.vehicle.gawr_rear_kg,
        case.vehicle.gvwr_kg,
    )
    if front is None or rear is None or gvwr is None:
        return []  # axle_loads and total_load say which rating is missing.
    passes = at_least(front + rear, gvwr)
    return judged(
        rule="gawr_covers_gvwr",
        subject="total",
        passes=passes,
        message=f"Axle ratings add up to {lb(front + rear):,.0f} lb; GVWR {lb(gvwr):,.0f} lb.",
        measured=lb(front + rear),
        limit=lb(gvwr),
        unit="lb",
        fix="Check the ratings against the certification label.",
        source="49cfr571-3",
    )


def axle_loads(case: WeightCase) -> list[Finding]:
    """Each axle with crew and gear <= its GAWR; from 95 % say so. Neither axle lifts."""
    found = case.in_service
    findings: list[Finding] = []
    for axle, load, rating in (
        ("front", found.front_kg if found else None, case.vehicle.gawr_front_kg),
        ("rear", found.rear_kg if found else None, case.vehicle.gawr_rear_kg),
    ):
        findings += _against_rating(case, f"{axle} axle", "axle_load", load, rating, "GAWR")
        if load is not None and load <= 0:
            findings += judged(
                rule="axle_lifts",
                subject=f"{axle} axle",
                passes=False,
                message=f"The {axle} axle carries {lb(load):,.0f} lb: it would lift.",
                measured=lb(load),
                limit=0.0,
                unit="lb",
                fix="Check the places of the heavy items.",
                source="navedtra-14233",
            )
    return findings


def total_load(case: WeightCase) -> list[Finding]:
    """The whole vehicle with crew and gear <= GVWR; from 95 % say so."""
    total = case.in_service.total_kg if case.in_service else None
    return _against_rating(case, "total", "total_load", total, case.vehicle.gvwr_kg, "GVWR")


def _against_rating(
    case: WeightCase,
    subject: str,
    rule: str,
    load: float | None,
    rating: float | None,
    name: str,
) -> list[Finding]:
    if rating is None or load is None:
        missing = f"the {name} is not entered" if rating is None else "axle loads are not known"
        return [_gap(rule, subject, missing)]
    fits = at_most(load, rating)
    if case.missing and fits:
        return [_gap(rule, subject, "weights or places are missing")]
    comfortable = not at_least(load, WARN_FRACTION * rating)
    percent = 100 * load / rating if rating else 0.0
    return judged(
        rule=rule,
        subject=subject,
        passes=fits and comfortable,
        otherwise=Severity.WARNING if fits else Severity.FAIL,
        message=(
            f"{lb(load):,.0f} lb with crew and gear, {percent:.0f} % of the {name} of "
            f"{lb(rating):,.0f} lb."
        ),
        measured=lb(load),
        limit=lb(WARN_FRACTION * rating if fits and not comfortable else rating),
        unit="lb",
        fix="Move heavy items towards the other axle, or take weight out.",
        source="49cfr571-3",
        steps=_steps(case, subject, load, rating),
    )


def _steps(case: WeightCase, subject: str, load: float, rating: float) -> tuple[Step, ...]:
    """Received load, then every item's share of this axle, then the sum."""
    vehicle, wheelbase = case.vehicle, case.vehicle.wheelbase_m or 1.0
    start = {
        "front axle": vehicle.received_front_kg,
        "rear axle": vehicle.received_rear_kg,
        "total": (vehicle.received_front_kg or 0.0) + (vehicle.received_rear_kg or 0.0),
    }[subject]
    steps = [Step(symbol="W_received", formula="scale", value=lb(start or 0.0), unit="lb")]
    for item in (*case.design.items, *case.design.payload):
        if item.mass_kg is None or item.x_m is None:
            continue
        mass = item.quantity * item.mass_kg
        shares = axle_shares(mass_kg=mass, x_m=item.x_m, wheelbase_m=wheelbase)
        inches, base = item.x_m / 0.0254, wheelbase / 0.0254
        part, formula = {
            "front axle": (shares.front_kg, f"{lb(mass):.2f} lb x (1 - {inches:g} / {base:g})"),
            "rear axle": (shares.rear_kg, f"{lb(mass):.2f} lb x {inches:g} in / {base:g} in"),
            "total": (mass, f"{item.quantity} x {lb(item.mass_kg):.2f} lb"),
        }[subject]
        steps.append(Step(symbol=f"W_{item.ref}", formula=formula, value=lb(part), unit="lb"))
    steps.append(Step(symbol="W", formula="sum", value=lb(load), unit="lb"))
    steps.append(
        Step(symbol="rating", formula="label", value=lb(rating), unit="lb", source="unit-rating")
    )
    return tuple(steps)


def roof_load(case: WeightCase) -> list[Finding]:
    """What stands on the roof <= the roof's limit."""
    on_roof = [item for item in case.design.items if item.on_roof]
    if not on_roof:
        return []
    rule, limit = "roof_load", case.vehicle.roof_limit_kg
    if limit is None:
        return [_gap(rule, "roof", "the roof's limit is not entered")]
    load = sum(item.quantity * (item.mass_kg or 0.0) for item in on_roof)
    fits = at_most(load, limit)
    if fits and any(item.mass_kg is None for item in on_roof):
        return [_gap(rule, "roof", "the weight of an item on the roof is missing")]
    comfortable = not at_least(load, WARN_FRACTION * limit)
    return judged(
        rule=rule,
        subject="roof",
        passes=fits and comfortable,
        otherwise=Severity.WARNING if fits else Severity.FAIL,
        message=f"{lb(load):,.1f} lb on the roof of {lb(limit):,.0f} lb.",
        measured=lb(load),
        limit=lb(WARN_FRACTION * limit if fits and not comfortable else limit),
        unit="lb",
        fix="Take weight off the roof.",
        source="unit-rating",
        steps=tuple(
            Step(
                symbol=f"W_{item.ref}",
                formula=f"{item.quantity} x {lb(item.mass_kg or 0.0):.2f} lb",
                value=lb(item.quantity * (item.mass_kg or 0.0)),
                unit="lb",
            )
            for item in on_roof
        ),
    )


def side_balance(case: WeightCase) -> list[Finding]:
    """Left and right of the finished empty vehicle differ by <= 7 % of its weight."""
    rule, subject, track = "side_balance", "sides", case.vehicle.track_m
    no_side = [item.ref for item in case.design.items if item.y_m is None or not isfinite(item.y_m)]
    if track is None or case.empty is None or no_side or case.missing:
        missing = "track width, side positions or weights are not entered"
        return [_gap(rule, subject, missing)]
    moment = sum(
        item.quantity * (item.mass_kg or 0.0) * (item.y_m or 0.0) for item in case.design.items
    )
    percent = side_difference_percent(
        moment_kg_m=moment, total_kg=case.empty.total_kg, track_m=track
    )
    side = "right" if moment > 0 else "left"
    return judged(
        rule=rule,
        subject=subject,
        passes=at_most(percent, SIDE_LIMIT_PERCENT),
        otherwise=Severity.WARNING,
        message=(
            f"The {side} side is heavier by {percent:.1f} % of the weight, if the vehicle came "
            f"even; {SIDE_LIMIT_PERCENT:g} % is usual."
        ),
        measured=percent,
        limit=SIDE_LIMIT_PERCENT,
        unit="%",
        fix="Move heavy items to the other side, then weigh side by side.",
        source="common-practice",
    )


def _gap(rule: str, subject: str, missing: str) -> Finding:
    fix = "Enter what is missing."
    return undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="design-input")
