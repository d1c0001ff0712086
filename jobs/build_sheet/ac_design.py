"""The door from the rows of the 120 V side to the electrical calculation."""

from typing import Any

from jobs.build_sheet.models import AcBranch, AcSide, NeutralBond
from jobs.build_sheet.prepared import Prepared
from jobs.electrical import ac_design as e
from jobs.intake.models import Job

SIDE = (
    "inverter_feed__ref", "inverter_w", "inverter_surge_w", "inverter_efficiency_percent",
    "inverter_least_mv", "shore", "shore_ma", "charger", "charger_ma", "charger_efficiency_percent",
)  # fmt: skip
BRANCH = (
    "ref", "name", "breaker_ma", "awg", "continuous_w", "other_w", "surge_w", "receptacles", "gfci",
    "on_inverter", "on_shore",
)  # fmt: skip
SIDES = Prepared(lambda job: AcSide.objects.filter(job_id=job), SIDE)
BRANCHES = Prepared(lambda job: AcBranch.objects.filter(job_id=job).order_by("ref"), BRANCH)
BONDS = Prepared(
    lambda job: NeutralBond.objects.filter(job_id=job).order_by("id"),
    ("name", "on_inverter", "on_shore"),
)


def ac_side_of(job: Job) -> e.AcSide | None:
    """The job's 120 V side; None when nothing of it is entered."""
    side = next(iter(SIDES.of(job.pk)), None)
    branches, bonds = BRANCHES.of(job.pk), BONDS.of(job.pk)
    if side is None and not branches and not bonds:
        return None
    return e.AcSide(
        inverter=_inverter(side) if side else None,
        shore=_shore(side) if side else None,
        charger=_charger(side) if side else None,
        branches=tuple(_branch(row) for row in branches),
        bonds=tuple(
            e.NeutralBond(
                name=row.name, on_inverter=bool(row.on_inverter), on_shore=bool(row.on_shore)
            )
            for row in bonds
        ),
    )


def _kilo(value: int | None) -> float | None:
    return None if value is None else value / 1000


def _watts(value: int | None) -> float | None:
    return None if value is None else float(value)


def _inverter(row: Any) -> e.Inverter | None:
    if row.inverter_feed__ref is None:
        return None
    return e.Inverter(
        feed=row.inverter_feed__ref,
        continuous_w=_watts(row.inverter_w),
        surge_w=_watts(row.inverter_surge_w),
        efficiency=row.inverter_efficiency_percent / 100,
        least_dc_v=row.inverter_least_mv / 1000,
    )


def _shore(row: Any) -> e.ShoreInlet | None:
    return e.ShoreInlet(rating_a=_kilo(row.shore_ma)) if row.shore else None


def _charger(row: Any) -> e.Charger | None:
    if not row.charger:
        return None
    efficiency = row.charger_efficiency_percent / 100
    return e.Charger(output_a=_kilo(row.charger_ma), efficiency=efficiency)


def _branch(row: Any) -> e.AcBranch:
    return e.AcBranch(
        ref=row.ref,
        name=row.name,
        breaker_a=_kilo(row.breaker_ma),
        awg=row.awg or None,
        continuous_w=_watts(row.continuous_w),
        other_w=float(row.other_w),
        surge_w=float(row.surge_w),
        receptacles=bool(row.receptacles),
        gfci=None if row.gfci is None else bool(row.gfci),
        on_inverter=bool(row.on_inverter),
        on_shore=bool(row.on_shore),
    )
