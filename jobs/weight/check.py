"""All weight checks of a design. The public face of the calculation:

    findings = check(WeightDesign(vehicle=Vehicle(...), items=(...), payload=(...)))
    empty = predicted_empty(design)       AxleLoads or None where data are missing
    loaded = predicted_in_service(design)

Weights in findings are in pounds, the unit of the labels; the calculation is in kilograms. A
finding's `subject` is "front axle", "rear axle", "total", "roof", "sides", "labels" or "scale".
"""

from collections.abc import Callable

from jobs.findings import Finding
from jobs.weight.case import WeightCase, predicted_empty, predicted_in_service
from jobs.weight.loads import WeightDesign
from jobs.weight.rules import labels, ratings, scale

RULES: tuple[Callable[[WeightCase], list[Finding]], ...] = (
    ratings.data_complete,
    ratings.gawr_covers_gvwr,
    ratings.axle_loads,
    ratings.total_load,
    ratings.roof_load,
    ratings.side_balance,
    labels.added_weight,
    labels.gvwr_floor,
    scale.predicted_against_scale,
)


def check(design: WeightDesign) -> list[Finding]:
    """Every finding about weight."""
    case = WeightCase(design)
    return [finding for rule in RULES for finding in rule(case)]


__all__ = ["RULES", "check", "predicted_empty", "predicted_in_service"]
