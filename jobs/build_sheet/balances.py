"""The doors from rows and findings to the pictures of energy, axles and places."""

from collections import defaultdict
from dataclasses import dataclass

from jobs.build_sheet.models import BuildLine
from jobs.build_sheet.pictures.axles import Axle, axles
from jobs.build_sheet.pictures.energy import ModeBar, energy
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.pictures.zones import Placed, zone_plan
from jobs.build_sheet.review import Judged, Review
from jobs.build_sheet.weights import weight_design
from jobs.electrical.case import Case
from jobs.electrical.design import Mode, ModeSource
from jobs.electrical.energy import ModeBudget, mode_budget
from jobs.electrical.input_check import design_problems
from jobs.findings import worst
from jobs.intake.models import Job, Unit
from jobs.weight.case import WeightCase
from jobs.weight.loads import POUND_KG

SOURCES = {
    ModeSource.IDLE: "engine at hot idle",
    ModeSource.HIGH_IDLE: "engine at hot high idle",
    ModeSource.BATTERY: "engine off, battery",
    ModeSource.SHORE: "shore power",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class ModeRow:
    """One mode with its bar, what it sheds against a fuller mode, and what the checks say."""

    bar: ModeBar
    sheds_against: str
    sheds: tuple[str, ...]
    freed_a: float
    judged: tuple[Judged, ...]

    @property
    def spare_a(self) -> float | None:
        return None if self.bar.limit_a is None else self.bar.limit_a - self.bar.total_a


def mode_rows(found: Review) -> list[ModeRow]:
    """Every mode in its order; nothing while the design's data are faulty."""
    if design_problems(found.design):
        return []
    case = Case(found.design)
    budgets = [mode_budget(case, mode) for mode in case.design.modes]
    return [_mode_row(case, budgets[:place], budget, found) for place, budget in enumerate(budgets)]


def energy_picture(rows: list[ModeRow]) -> Picture | None:
    return energy([row.bar for row in rows])


def _mode_row(case: Case, before: list[ModeBudget], mine: ModeBudget, found: Review) -> ModeRow:
    mode, unit = mine.mode, case.design.unit
    limit = {
        ModeSource.IDLE: unit.alternator_hot_idle_a,
        ModeSource.HIGH_IDLE: unit.alternator_hot_high_idle_a,
    }.get(mode.source)
    subject = f"mode {mode.key}"
    judged = tuple(
        each for each in found.judged if f"{each.finding.subject} ".startswith(f"{subject} ")
    )
    fuller = next((one for one in reversed(before) if _sheds(mode, one.mode)), None)
    bar = ModeBar(
        name=mode.name or mode.key,
        source=SOURCES[mode.source],
        amps=(mine.chassis_a, mine.allowance_a, mine.circuits_a, mine.inverter_a),
        limit_a=limit,
        wanted_a=None if limit is None else limit * case.rules.energy_warn_fraction.value,
        state=str(worst([each.finding for each in judged])),
    )
    return ModeRow(
        bar=bar,
        sheds_against=fuller.mode.name or fuller.mode.key if fuller else "",
        sheds=_sheds(mode, fuller.mode) if fuller else (),
        freed_a=fuller.total_a - mine.total_a if fuller else 0.0,
        judged=judged,
    )


def _sheds(mode: Mode, fuller: Mode) -> tuple[str, ...]:
    """Circuits that take less than in a fuller mode of the same source; none take more."""
    if mode.source is not fuller.source:
        return ()
    mine = {duty.circuit: duty.fraction for duty in mode.duty}
    theirs = {duty.circuit: duty.fraction for duty in fuller.duty}
    if any(share > theirs.get(ref, 0.0) for ref, share in mine.items()):
        return ()
    return tuple(ref for ref, share in theirs.items() if mine.get(ref, 0.0) < share)


def axle_rows(job: Job, unit: Unit | None) -> tuple[Axle, Axle] | None:
    """Front and rear in pounds; None until wheelbase and received weights are entered."""
    if unit is None:
        return None
    case = WeightCase(weight_design(job, unit))
    vehicle, empty, full = case.vehicle, case.empty, case.in_service
    front, rear = vehicle.received_front_kg, vehicle.received_rear_kg
    if empty is None or full is None or front is None or rear is None:
        return None
    return (
        _axle("Front axle", front, empty.front_kg, full.front_kg, vehicle.gawr_front_kg),
        _axle("Rear axle", rear, empty.rear_kg, full.rear_kg, vehicle.gawr_rear_kg),
    )


def _axle(name: str, received: float, empty: float, full: float, rating: float | None) -> Axle:
    return Axle(
        name=name,
        received_lb=received / POUND_KG,
        added_lb=(empty - received) / POUND_KG,
        carried_lb=(full - empty) / POUND_KG,
        rating_lb=None if rating is None else rating / POUND_KG,
    )


def axle_picture(rows: tuple[Axle, Axle] | None) -> Picture | None:
    return None if rows is None else axles(*rows)


def places(job: Job) -> tuple[Picture | None, list[tuple[str, list[BuildLine]]], list[BuildLine]]:
    """The zone plan, the lines by zone, and those whose place is not entered."""
    lines = list(job.lines.select_related("part"))
    known = [line for line in lines if line.x_mm is not None]
    unit = job.units.first()
    wheelbase = None if unit is None or unit.wheelbase_mm is None else float(unit.wheelbase_mm)
    placed = [
        Placed(ref=line.ref, zone=line.zone, x_mm=float(line.x_mm or 0), y_mm=float(line.y_mm or 0))
        for line in known
    ]
    plan = zone_plan(placed, wheelbase_mm=wheelbase) if placed else None
    by_zone: dict[str, list[BuildLine]] = defaultdict(list)
    for line in lines:
        by_zone[str(line.get_zone_display())].append(line)
    return plan, list(by_zone.items()), [line for line in lines if line.x_mm is None]
