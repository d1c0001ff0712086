"""Does the conductor carry its current, and does its device carry the load and protect it?"""

from functools import lru_cache

from jobs.electrical.case import Case, DeratedAmpacity, Run
from jobs.findings import Finding, Severity, Step, at_most, number, undetermined


def conductor_ampacity(case: Case, run: Run) -> list[Finding]:
    """Heating current <= ampacity after engine-space and bundle factors."""
    rule, found = "conductor_ampacity", run.ampacity
    if found is None:
        return [_no_ampacity(case, run, rule)]
    if run.heating_a is None:
        return [_no_current(run, rule, found.row.source)]
    passes = at_most(run.heating_a, found.amps)
    if passes and case.problems_only:
        return []
    awg = run.conductor.awg
    word = "carries" if passes else "is too thin:"
    return [
        Finding(
            rule=rule,
            severity=Severity.PASS if passes else Severity.FAIL,
            subject=run.subject,
            message=f"{awg} AWG {word} {number(run.heating_a)} A of {number(found.amps)} A.",
            measured=run.heating_a,
            limit=found.amps,
            unit="A",
            fix="" if passes else "Use a thicker conductor or split the load.",
            source=found.row.source,
            steps=(*current_steps(run), *ampacity_steps(run)),
        )
    ]


def device_carries_load(case: Case, run: Run) -> list[Finding]:
    """Continuous (heating) current <= 80 % of the device, flashing peak <= the device."""
    rule, device = "device_carries_load", run.conductor.device_a
    limits = case.rules
    if device is None:
        return [_no_device(run, rule, limits.continuous_fraction.source)]
    if run.heating_a is None or run.peak_a is None:
        return [_no_current(run, rule, limits.continuous_fraction.source)]
    steady_limit = limits.continuous_fraction.value * device
    peak_limit = limits.peak_fraction.value * device
    steady_ok, peak_ok = at_most(run.heating_a, steady_limit), at_most(run.peak_a, peak_limit)
    if steady_ok and peak_ok and case.problems_only:
        return []
    decides_peak = steady_ok and not peak_ok
    measured = run.peak_a if decides_peak else run.heating_a
    limit = peak_limit if decides_peak else steady_limit
    kind = "peak" if decides_peak else "steady"
    source = limits.peak_fraction.source if decides_peak else limits.continuous_fraction.source
    passes = steady_ok and peak_ok
    return [
        Finding(
            rule=rule,
            severity=Severity.PASS if passes else Severity.FAIL,
            subject=run.subject,
            message=(
                f"{number(device)} A device {'carries' if passes else 'is too small for'} "
                f"{number(measured)} A {kind}; {number(limit)} A allowed."
            ),
            measured=measured,
            limit=limit,
            unit="A",
            fix="" if passes else "Use a larger device on a conductor that allows it, or split.",
            source=source,
            steps=(
                *current_steps(run),
                Step(
                    symbol="I_allowed",
                    formula=f"{limit / device:g} x {number(device)} A",
                    value=limit,
                    unit="A",
                    source=source,
                ),
            ),
        )
    ]


def device_protects_conductor(case: Case, run: Run) -> list[Finding]:
    """Device rating <= the rule set's share of the derated ampacity."""
    rule, device, found = "device_protects_conductor", run.conductor.device_a, run.ampacity
    share = case.device_over_ampacity
    if found is None:
        return [_no_ampacity(case, run, rule)]
    if device is None:
        return [_no_device(run, rule, share.source)]
    limit = share.value * found.amps
    passes = at_most(device, limit)
    if passes and case.problems_only:
        return []
    awg = run.conductor.awg
    return [
        Finding(
            rule=rule,
            severity=Severity.PASS if passes else Severity.FAIL,
            subject=run.subject,
            message=(
                f"{number(device)} A device {'protects' if passes else 'is too large for'} "
                f"{awg} AWG; at most {number(limit)} A allowed."
            ),
            measured=device,
            limit=limit,
            unit="A",
            fix="" if passes else "Use a smaller device or a thicker conductor.",
            source=share.source,
            steps=(
                *ampacity_steps(run),
                Step(
                    symbol="F_max",
                    formula=f"{share.value:g} x {number(found.amps)} A",
                    value=limit,
                    unit="A",
                    source=share.source,
                ),
            ),
        )
    ]


def current_steps(run: Run) -> tuple[Step, ...]:
    """Average, peak and heating current of a run, as one would add them by hand."""
    if run.average_a is None or run.peak_a is None:
        return ()
    if run.swing_a is None or run.heating_a is None:
        return ()
    return sum_steps(run.average_a, run.peak_a, run.swing_a, run.heating_a)


@lru_cache(maxsize=4_096)
def sum_steps(average: float, peak: float, swing: float, heating: float) -> tuple[Step, ...]:
    """How the steady current that heats as much comes about; a steady load has no swing."""
    return (
        Step(symbol="I_avg", formula="sum of averages", value=average, unit="A"),
        Step(symbol="I_peak", formula="sum of peaks", value=peak, unit="A"),
        Step(
            symbol="I_swing",
            formula="sum over loads of sqrt(average x (peak - average))",
            value=swing,
            unit="A",
            source="kirchhoff",
        ),
        Step(
            symbol="I_heat",
            formula=f"sqrt(({number(average)} A)^2 + ({number(swing)} A)^2)",
            value=heating,
            unit="A",
            source="kirchhoff",
        ),
    )


def ampacity_steps(run: Run) -> tuple[Step, ...]:
    """Table value and factors of a run's ampacity."""
    return () if run.ampacity is None else _derating(run.ampacity)


@lru_cache(maxsize=1_024)
def _derating(found: DeratedAmpacity) -> tuple[Step, ...]:
    row = found.row
    table = f"table: {row.awg} AWG, {row.insulation_c} C insulation, {row.ambient_c:g} C ambient"
    product = f"{number(row.amps)} A x {found.engine_factor:g} x {found.bundle_factor:g}"
    return (
        Step(symbol="I_table", formula=table, value=row.amps, unit="A", source=row.source),
        Step(
            symbol="I_z",
            formula=f"{product} (engine space, bundle)",
            value=found.amps,
            unit="A",
            source=row.source,
        ),
    )


def _no_ampacity(case: Case, run: Run, rule: str) -> Finding:
    awg, insulation = run.conductor.awg, run.conductor.insulation_c
    source = case.rules.ampacity[0].source
    if not awg:
        missing, fix = "the conductor size is not entered", "Enter the conductor size."
    else:
        missing = f"{case.rules.name} has no ampacity for {awg} AWG at {insulation} C"
        fix = "Choose a size and insulation that the rule set lists."
    return undetermined(rule=rule, subject=run.subject, missing=missing, fix=fix, source=source)


def _no_current(run: Run, rule: str, source: str) -> Finding:
    missing = f"no average or peak current entered for a load of {', '.join(run.unknown)}"
    fix = "Enter the currents of the part in the catalog."
    return undetermined(rule=rule, subject=run.subject, missing=missing, fix=fix, source=source)


def _no_device(run: Run, rule: str, source: str) -> Finding:
    missing, fix = "the device rating is not entered", "Enter the device and its rating."
    return undetermined(rule=rule, subject=run.subject, missing=missing, fix=fix, source=source)
