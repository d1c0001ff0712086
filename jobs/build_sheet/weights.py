"""The door from rows to the weight calculation."""

from decimal import Decimal

from jobs.findings import Finding
from jobs.intake.models import Job, Unit


def predicted_axles(unit: Unit) -> dict[str, Decimal]:
    """Predicted axle loads of the empty finished unit [g]: front, rear, total. Empty: data missing.

    Each line's weight is split between the axles by its distance behind the front axle.
    """
    if not unit.wheelbase_mm or unit.received_front_g is None or unit.received_rear_g is None:
        return {}
    front, rear = unit.received_front_g, unit.received_rear_g
    for line in unit.job.lines.select_related("part"):
        if line.mass is None or line.x_mm is None:
            return {}
        share = line.mass * line.x_mm / unit.wheelbase_mm
        rear += share
        front += line.mass - share
    return {"front axle": front, "rear axle": rear, "total": front + rear}


def weight_findings(job: Job, unit: Unit | None) -> list[Finding]:
    return []
