"""The door from rows to the weight calculation."""

from decimal import Decimal

from jobs.build_sheet.models import BuildLine, Payload, Zone
from jobs.findings import Finding
from jobs.intake.models import Job, Unit
from jobs.weight.case import predicted_empty
from jobs.weight.check import check
from jobs.weight.loads import Item, Vehicle, WeightDesign

GRAMS = 1000
# Subjects of the weight findings, to tell them from the electrical ones.
SUBJECTS = ("front axle", "rear axle", "total", "roof", "sides", "labels", "scale")


def _kg(grams: Decimal | None) -> float | None:
    return None if grams is None else float(grams) / GRAMS


def _metres(mm: Decimal | None) -> float | None:
    return None if mm is None else float(mm) / 1000


def weight_design(job: Job, unit: Unit) -> WeightDesign:
    """Every build line at its place on this unit, and the crew and gear it will carry."""
    return WeightDesign(
        vehicle=Vehicle(
            wheelbase_m=_metres(unit.wheelbase_mm),
            track_m=_metres(unit.track_mm),
            seats=unit.seats,
            before_first_sale=not unit.used,
            scale_front_kg=_kg(unit.scale_front_g),
            scale_rear_kg=_kg(unit.scale_rear_g),
            gvwr_kg=_kg(unit.gvwr_g),
            gawr_front_kg=_kg(unit.gawr_front_g),
            gawr_rear_kg=_kg(unit.gawr_rear_g),
            received_front_kg=_kg(unit.received_front_g),
            received_rear_kg=_kg(unit.received_rear_g),
            roof_limit_kg=_kg(unit.roof_limit_g),
        ),
        items=tuple(_item(line) for line in job.lines.select_related("part")),
        payload=tuple(_load(row) for row in job.payload.all()),
    )


def _item(line: BuildLine) -> Item:
    return Item(
        ref=line.ref,
        name=line.part.description,
        quantity=line.quantity,
        mass_kg=_kg(line.part.mass_g),
        x_m=_metres(line.x_mm),
        y_m=_metres(line.y_mm),
        on_roof=line.zone == Zone.ROOF,
    )


def _load(row: Payload) -> Item:
    return Item(
        ref=row.description,
        name=row.description,
        quantity=row.quantity,
        mass_kg=_kg(row.mass_g),
        x_m=_metres(row.x_mm),
    )


def weight_findings(job: Job, unit: Unit | None) -> list[Finding]:
    """Axle, total, roof and side loads against the ratings; nothing without a unit."""
    return [] if unit is None else check(weight_design(job, unit))


def predicted_axles(unit: Unit) -> dict[str, Decimal]:
    """Predicted axle loads of the finished empty unit [g]; empty where data are missing."""
    loads = predicted_empty(weight_design(unit.job, unit))
    if loads is None:
        return {}
    kilograms = {
        "front axle": loads.front_kg,
        "rear axle": loads.rear_kg,
        "total": loads.front_kg + loads.rear_kg,
    }
    return {name: Decimal(str(round(kg * GRAMS, 3))) for name, kg in kilograms.items()}
