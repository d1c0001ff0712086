"""What is left for the batteries: shore power carries what is on, and used charge comes back."""

from jobs.electrical.battery import recharge_h
from jobs.electrical.case import Case
from jobs.electrical.design import Mode, ModeSource, SupplyKind
from jobs.electrical.energy import ModeBudget, mode_budget
from jobs.electrical.rules.energy import usable_fraction
from jobs.findings import Finding, Step, at_most, judged, number, undetermined

RULE = "charging"


def charging(case: Case, mode: Mode) -> list[Finding]:
    """Demand on shore power <= the charger's setting; hours until what was used is back.

    With the engine on `alternator_budget` judges the demand, and this only tells the hours.
    """
    shore = mode.source is ModeSource.SHORE
    if mode.source is ModeSource.BATTERY or (not shore and case.problems_only):
        return []
    budget, available = mode_budget(case, mode), _available_a(case, mode)
    if available is None:
        return [_undetermined(mode, "the charger's setting is not entered")] if shore else []
    fits = at_most(budget.total_a, available)
    if fits and budget.unknown:
        missing = f"no average current entered for a load of {', '.join(budget.unknown)}"
        return [_undetermined(mode, missing)] if shore else []
    if fits and case.problems_only:
        return []
    back, steps = _back(case, available - budget.total_a)
    if not shore and not (fits and back):
        return []
    return judged(
        rule=RULE,
        subject=f"mode {mode.key}",
        passes=fits,
        message=_message(budget, available, shore=shore) + back,
        measured=budget.total_a,
        limit=available,
        unit="A",
        fix="Shed loads on shore power or fit a larger charger; until then the batteries empty.",
        source="design-input" if shore else "unit-rating",
        steps=(
            Step(symbol="I_mode", formula="demand of the mode", value=budget.total_a, unit="A"),
            Step(symbol="I_source", formula=_source_words(mode), value=available, unit="A"),
            *steps,
        ),
    )


def _available_a(case: Case, mode: Mode) -> float | None:
    unit, ac = case.design.unit, case.design.ac
    if mode.source is ModeSource.IDLE:
        return unit.alternator_hot_idle_a
    if mode.source is ModeSource.HIGH_IDLE:
        return unit.alternator_hot_high_idle_a
    return ac.charger.output_a if ac is not None and ac.charger is not None else None


def _source_words(mode: Mode) -> str:
    return "charger as set" if mode.source is ModeSource.SHORE else "alternator, hot"


def _message(budget: ModeBudget, available: float, *, shore: bool) -> str:
    if shore:
        return f"{number(budget.total_a)} A of {number(available)} A from the charger."
    return f"{number(available - budget.total_a)} A of the alternator's output are left."


def _back(case: Case, spare_a: float) -> tuple[str, tuple[Step, ...]]:
    """How long the batteries take; empty without a battery of known capacity or without a rest."""
    used = sum(
        (supply.capacity_ah or 0.0) * usable_fraction(supply)
        for supply in case.design.supplies
        if supply.kind is SupplyKind.BATTERY
    )
    if used == 0 or spare_a <= 0:
        return "", ()
    factor = case.rules.recharge_factor
    hours = recharge_h(used_ah=used, spare_a=spare_a, factor=factor.value)
    formula = f"{factor.value:g} x {number(used)} Ah / {number(spare_a)} A"
    return (
        f" {number(used)} Ah, all that the batteries may give, are back in {hours:.1f} h or more.",
        (
            Step(symbol="Q_used", formula="capacity x usable share", value=used, unit="Ah"),
            Step(symbol="t_back", formula=formula, value=hours, unit="h", source=factor.source),
        ),
    )


def _undetermined(mode: Mode, missing: str) -> Finding:
    return undetermined(
        rule=RULE,
        subject=f"mode {mode.key}",
        missing=missing,
        fix="Enter what is missing.",
        source="design-input",
    )
