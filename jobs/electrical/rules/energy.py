"""Does the energy last: alternator hot, battery with the engine off, parked and asleep?"""

from functools import lru_cache

from jobs.electrical.battery import charge_percent, peukert_runtime_h
from jobs.electrical.case import Case
from jobs.electrical.design import Mode, ModeSource, Supply, SupplyKind
from jobs.electrical.energy import ModeBudget, mode_budget, supply_currents_a
from jobs.findings import Finding, Severity, Step, at_least, at_most, judged, number, undetermined


def alternator_budget(case: Case, mode: Mode) -> list[Finding]:
    """Demand of a mode with the engine on <= hot output; above 90 % of it there is no margin."""
    if mode.source not in (ModeSource.IDLE, ModeSource.HIGH_IDLE):
        return []
    rule, subject, unit = "alternator_budget", f"mode {mode.key}", case.design.unit
    idle = mode.source is ModeSource.IDLE
    available = unit.alternator_hot_idle_a if idle else unit.alternator_hot_high_idle_a
    margin, budget = case.rules.energy_warn_fraction, mode_budget(case, mode)
    if available is None:
        missing = f"the alternator's hot output at {'idle' if idle else 'high idle'} is not entered"
        fix = "Ask the maker for the hot output; a cold rating must not be used."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="unit-rating")
        ]
    total = budget.total_a
    fits, has_margin = at_most(total, available), at_most(total, margin.value * available)
    if budget.unknown and fits:
        missing = f"no average current entered for a load of {', '.join(budget.unknown)}"
        fix = "Enter the currents of the part in the catalog."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="unit-rating")
        ]
    if fits and has_margin and case.problems_only:
        return []
    percent = 100 * total / available
    note = "" if fits else f" {number(total - available)} A comes out of the battery."
    return judged(
        rule=rule,
        subject=subject,
        passes=fits and has_margin,
        otherwise=Severity.WARNING if fits else Severity.FAIL,
        message=(
            f"{number(total)} A of {number(available)} A hot output at "
            f"{'idle' if idle else 'high idle'}, {percent:.0f} %.{note}"
        ),
        measured=total,
        limit=margin.value * available if fits else available,
        unit="A",
        fix=_relief(case, mode, available),
        source=margin.source if fits else "unit-rating",
        steps=budget_steps(case, budget, available),
    )


def _relief(case: Case, mode: Mode, available: float) -> str:
    """A mode of the same kind with some circuits shed that fits with its margin; or high idle."""
    limit = case.rules.energy_warn_fraction.value * available
    mine = {duty.circuit: duty.fraction for duty in mode.duty}
    for other in case.design.modes:
        theirs = {duty.circuit: duty.fraction for duty in other.duty}
        shed = all(share <= mine.get(ref, 0.0) for ref, share in theirs.items())
        if other is mode or other.source is not mode.source or not shed:
            continue
        total = mode_budget(case, other).total_a
        if at_most(total, limit):
            return f"Shed to {other.name or other.key}: {number(total)} A fits with its margin."
    high = case.design.unit.alternator_hot_high_idle_a
    if mode.source is ModeSource.IDLE and high is not None:
        total = mode_budget(case, mode).total_a
        if at_most(total, case.rules.energy_warn_fraction.value * high):
            return f"Raise the idle: hot high idle gives {number(high)} A."
    return "Shed loads or fit a larger alternator."


@lru_cache(maxsize=16_384)
def _share(circuit: str, average_a: float, fraction: float) -> Step:
    """What a circuit takes of a mode's sum; most lines are the same after an edit."""
    formula = f"{number(average_a)} A x {fraction:g}"
    return Step(symbol=f"I_{circuit}", formula=formula, value=average_a * fraction, unit="A")


def budget_steps(case: Case, budget: ModeBudget, available: float) -> tuple[Step, ...]:
    """The sum of a mode, line by line."""
    mode = budget.mode
    lines = [
        Step(symbol="I_chassis", formula="chassis base", value=budget.chassis_a, unit="A"),
        Step(symbol="I_allowance", formula="allowance", value=budget.allowance_a, unit="A"),
    ]
    for duty in mode.duty:
        average = case.circuit_runs[duty.circuit].average_a or 0.0
        lines.append(_share(duty.circuit, average, duty.fraction))
    lines.append(
        Step(
            symbol="I_inverter",
            formula=(
                f"{number(mode.inverter_w)} W / ({number(mode.bus_v)} V x "
                f"{mode.inverter_efficiency:g})"
            ),
            value=budget.inverter_a,
            unit="A",
        )
    )
    lines.append(Step(symbol="I_mode", formula="sum", value=budget.total_a, unit="A"))
    lines.append(
        Step(
            symbol="I_hot",
            formula="alternator, hot",
            value=available,
            unit="A",
            source="unit-rating",
        )
    )
    return tuple(lines)


def battery_runtime(case: Case, mode: Mode) -> list[Finding]:
    """With the engine off each battery lasts as long as the mode must."""
    if mode.source is not ModeSource.BATTERY or mode.asleep:
        return []
    findings: list[Finding] = []
    currents = supply_currents_a(case, mode)
    for supply in case.design.supplies:
        if supply.kind is SupplyKind.BATTERY and currents[supply.ref] > 0:
            findings += _runtime(case, mode, supply, currents[supply.ref])
    ac = case.design.ac
    if mode.inverter_w > 0 and (ac is None or ac.inverter is None):
        fix = "Describe the inverter and its feed."
        findings.append(
            undetermined(
                rule="battery_runtime",
                subject=f"mode {mode.key} on the inverter",
                missing="it is not entered which feed the inverter hangs on",
                fix=fix,
                source="design-input",
            )
        )
    return findings


def usable_fraction(supply: Supply) -> float:
    """The share of its charge a battery may give: its own limit, or less where a cut-off opens."""
    if supply.cutoff_v is None:
        return supply.usable_fraction
    return min(supply.usable_fraction, 1 - charge_percent(rest_v=supply.cutoff_v) / 100)


def _runtime(case: Case, mode: Mode, supply: Supply, current_a: float) -> list[Finding]:
    rule, subject = "battery_runtime", f"mode {mode.key} on {supply.ref}"
    usual = case.rules.engine_off_s
    capacity = supply.capacity_ah
    unknown = mode_budget(case, mode).unknown
    if capacity is None or unknown:
        missing = (
            f"no average current entered for a load of {', '.join(unknown)}"
            if unknown
            else f"the capacity of {supply.ref} is not entered"
        )
        return [
            undetermined(
                rule=rule,
                subject=subject,
                missing=missing,
                fix="Enter what is missing.",
                source="design-input",
            )
        ]
    share = usable_fraction(supply)
    hours = peukert_runtime_h(capacity_ah=capacity, current_a=current_a, exponent=supply.peukert)
    minutes, needed = 60 * hours * share, (mode.needed_s or usual.value) / 60
    passes = at_least(minutes, needed)
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=subject,
        passes=passes,
        message=(
            f"{supply.name or supply.ref} lasts {minutes:.0f} min at {number(current_a)} A; "
            f"{needed:.0f} min needed."
        ),
        measured=minutes,
        limit=needed,
        unit="min",
        fix="Shed loads sooner or fit more capacity.",
        source="design-input" if mode.needed_s else usual.source,
        steps=(
            Step(symbol="I", formula="sum of average x duty", value=current_a, unit="A"),
            Step(
                symbol="t_empty",
                formula=(
                    f"20 h x ({number(capacity)} Ah / ({number(current_a)} A x 20 h))"
                    f"^{supply.peukert:g}"
                ),
                value=hours,
                unit="h",
                source="peukert",
            ),
            Step(
                symbol="t_usable",
                formula=f"60 x t_empty x {share:g}",
                value=minutes,
                unit="min",
                source="common-practice",
            ),
        ),
    )
