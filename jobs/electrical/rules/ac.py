"""The 120 V side: inverter and its direct current, shore budget, neutral bond."""

from jobs.electrical.ac import charger_input_w, inverter_dc_a, shore_budget_w
from jobs.electrical.ac_design import AcSide
from jobs.electrical.case import Case
from jobs.electrical.design import SupplyKind
from jobs.findings import Finding, Step, at_most, judged, number, undetermined


def ac_described(case: Case) -> list[Finding]:
    """A design with shore power or an inverter says what its 120 V side is."""
    kinds, ac = {item.kind for item in case.design.supplies}, case.design.ac
    missing = ""
    if ac is None and kinds & {SupplyKind.SHORE, SupplyKind.INVERTER}:
        missing = "shore power or an inverter is there, but the 120 V side is not entered"
    elif ac is not None and SupplyKind.SHORE in kinds and ac.shore is None:
        missing = "a shore inlet is among the supplies, but not on the 120 V side"
    elif ac is not None and SupplyKind.INVERTER in kinds and ac.inverter is None:
        missing = "an inverter is among the supplies, but not on the 120 V side"
    if not missing:
        return []
    return [
        undetermined(
            rule="ac_described",
            subject="120 V side",
            missing=missing,
            fix="Enter inverter, charger, branches and neutral bonds.",
            source="design-input",
        )
    ]


def inverter(case: Case) -> list[Finding]:
    """Continuous and surge output cover the branches; its direct current suits its feed."""
    ac = case.design.ac
    if ac is None or ac.inverter is None:
        return []
    item = ac.inverter
    branches = [branch for branch in ac.branches if branch.on_inverter]
    continuous = sum(branch.continuous_w or 0.0 for branch in branches)
    surge = continuous + max((branch.surge_w for branch in branches), default=0.0)
    unknown = [branch.ref for branch in branches if branch.continuous_w is None]
    findings: list[Finding] = []
    for rule, load, rating in (
        ("inverter_continuous", continuous, item.continuous_w),
        ("inverter_surge", surge, item.surge_w),
    ):
        findings += _inverter_output(case, rule, load, rating, unknown)
    device = case.feeds[item.feed].device_a
    if item.continuous_w is None or device is None:
        missing = "the inverter's rating or its feed's device is not entered"
        findings.append(_gap("inverter_dc", "inverter", missing))
        return findings
    amps = inverter_dc_a(
        output_w=item.continuous_w, dc_v=item.least_dc_v, efficiency=item.efficiency
    )
    share = case.rules.continuous_fraction
    limit = share.value * device
    passes = at_most(amps, limit)
    if passes and case.problems_only:
        return findings
    formula = f"{number(item.continuous_w)} W / ({number(item.least_dc_v)} V x {item.efficiency:g})"
    return findings + judged(
        rule="inverter_dc",
        subject="inverter",
        passes=passes,
        message=(
            f"{number(amps)} A at full output and {number(item.least_dc_v)} V on the "
            f"{number(device)} A device of feed {item.feed}; {number(limit)} A allowed."
        ),
        measured=amps,
        limit=limit,
        unit="A",
        fix="Use a larger device and conductor, or limit the output.",
        source=share.source,
        steps=(Step(symbol="I_dc", formula=formula, value=amps, unit="A", source="kirchhoff"),),
    )


def _inverter_output(
    case: Case, rule: str, load: float, rating: float | None, unknown: list[str]
) -> list[Finding]:
    if rating is None or (unknown and at_most(load, rating)):
        missing = "the inverter's rating or the load of a branch is not entered"
        return [_gap(rule, "inverter", missing)]
    kind = "with the largest surge" if rule == "inverter_surge" else "continuous"
    passes = at_most(load, rating)
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject="inverter",
        passes=passes,
        message=f"{number(load)} W {kind} of {number(rating)} W.",
        measured=load,
        limit=rating,
        unit="W",
        fix="Move a load to shore power only, or fit a larger inverter.",
        source="part-datasheet",
    )


def shore_budget(case: Case) -> list[Finding]:
    """Charger and outlets together <= 80 % of the shore inlet."""
    ac = case.design.ac
    if ac is None or ac.shore is None:
        return []
    rule, subject, share = "shore_budget", "shore power", case.rules.continuous_fraction
    branches = [branch for branch in ac.branches if branch.on_shore]
    charger_a = ac.charger.output_a if ac.charger else 0.0
    unknown = any(branch.continuous_w is None for branch in branches)
    if ac.shore.rating_a is None or charger_a is None or unknown:
        return [_gap(rule, subject, "inlet rating, charger setting or a branch load is missing")]
    charger_w = _charger_w(ac)
    outlets_w = sum(branch.continuous_w or 0.0 for branch in branches)
    limit = shore_budget_w(
        rating_a=ac.shore.rating_a, volts=ac.volts, continuous_fraction=share.value
    )
    passes = at_most(charger_w + outlets_w, limit)
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=subject,
        passes=passes,
        message=(
            f"Charger {charger_w:.0f} W and outlets {outlets_w:.0f} W of {limit:.0f} W; "
            f"{limit - charger_w:.0f} W is left for outlets."
        ),
        measured=charger_w + outlets_w,
        limit=limit,
        unit="W",
        fix="Lower the charger's setting while outlets are used.",
        source=share.source,
    )


def _charger_w(ac: AcSide) -> float:
    item = ac.charger
    if item is None or item.output_a is None:
        return 0.0
    return charger_input_w(
        output_a=item.output_a, output_v=item.output_v, efficiency=item.efficiency
    )


def neutral_bond(case: Case) -> list[Finding]:
    """Neutral meets the chassis once, on the inverter and on shore power alike."""
    ac = case.design.ac
    if ac is None:
        return []
    findings: list[Finding] = []
    states = [("inverter", ac.inverter is not None), ("shore power", ac.shore is not None)]
    for state, there in states:
        if not there:
            continue
        names = [
            bond.name
            for bond in ac.bonds
            if (bond.on_inverter if state == "inverter" else bond.on_shore)
        ]
        passes = len(names) == 1
        if passes and case.problems_only:
            continue
        places = f" ({', '.join(names)})" if names else ""
        findings += judged(
            rule="neutral_bond",
            subject=f"neutral on {state}",
            passes=passes,
            message=f"Neutral is bonded {_times(len(names))}{places}.",
            measured=float(len(names)),
            limit=1.0,
            unit="bonds",
            fix="Let exactly one place bond neutral in each state.",
            source="nec-551",
        )
    return findings


def _times(count: int) -> str:
    return {0: "nowhere", 1: "once", 2: "twice"}.get(count, f"{count} times")


def _gap(rule: str, subject: str, missing: str) -> Finding:
    fix = "Enter what is missing."
    return undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="design-input")
