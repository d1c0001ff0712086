"""Each 120 V branch: its load, its conductor, its ground-fault protection."""

from jobs.electrical.ac_design import AcBranch
from jobs.electrical.case import Case
from jobs.findings import Finding, Severity, at_most, judged, number, undetermined

# Largest device on small copper, whatever the ampacity table says. NEC 240.4(D).
SMALL_CONDUCTOR_A = {"14": 15.0, "12": 20.0, "10": 30.0}


def ac_branches(case: Case) -> list[Finding]:
    """Each branch: continuous load <= 80 % of its breaker, small conductors, GFCI."""
    ac = case.design.ac
    findings: list[Finding] = []
    for branch in ac.branches if ac else ():
        findings += _branch_load(case, branch, ac.volts if ac else 0.0)
        findings += _branch_conductor(case, branch)
        findings += _branch_gfci(case, branch)
    return findings


def _branch_load(case: Case, branch: AcBranch, volts: float) -> list[Finding]:
    rule, subject = "ac_branch_load", f"AC branch {branch.ref}"
    share = case.rules.continuous_fraction
    if branch.breaker_a is None or branch.continuous_w is None:
        missing, fix = "breaker or continuous load is not entered", "Enter both."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source=share.source)
        ]
    steady = branch.continuous_w / volts
    total = steady + branch.other_w / volts
    steady_limit = share.value * branch.breaker_a
    steady_ok, total_ok = at_most(steady, steady_limit), at_most(total, branch.breaker_a)
    if steady_ok and total_ok and case.problems_only:
        return []
    by_total = steady_ok and not total_ok
    measured, limit = (total, branch.breaker_a) if by_total else (steady, steady_limit)
    return judged(
        rule=rule,
        subject=subject,
        passes=steady_ok and total_ok,
        message=(
            f"{number(measured)} A {'in all' if by_total else 'continuous'} on a "
            f"{number(branch.breaker_a)} A breaker; {number(limit)} A allowed."
        ),
        measured=measured,
        limit=limit,
        unit="A",
        fix="Move a load to another branch.",
        source=share.source,
    )


def _branch_conductor(case: Case, branch: AcBranch) -> list[Finding]:
    rule, subject = "ac_branch_conductor", f"AC branch {branch.ref}"
    limit = SMALL_CONDUCTOR_A.get(branch.awg or "")
    if branch.breaker_a is None or limit is None:
        missing = f"breaker, or a rule for {branch.awg or 'no'} AWG, is missing"
        fix = "Enter the breaker and 14, 12 or 10 AWG."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="nec-240-4")
        ]
    passes = at_most(branch.breaker_a, limit)
    if passes and case.problems_only:
        return []
    return judged(
        rule=rule,
        subject=subject,
        passes=passes,
        message=(
            f"{number(branch.breaker_a)} A breaker on {branch.awg} AWG; {number(limit)} A allowed."
        ),
        measured=branch.breaker_a,
        limit=limit,
        unit="A",
        fix="Use a thicker conductor or a smaller breaker.",
        source="nec-240-4",
    )


def _branch_gfci(case: Case, branch: AcBranch) -> list[Finding]:
    rule, subject = "gfci", f"AC branch {branch.ref}"
    if not branch.receptacles or (branch.gfci and case.problems_only):
        return []
    if branch.gfci is None:
        missing, fix = "whether a GFCI protects its outlets is not entered", "Enter it."
        return [
            undetermined(rule=rule, subject=subject, missing=missing, fix=fix, source="nec-551")
        ]
    text = "A GFCI protects its outlets." if branch.gfci else "Its outlets have no GFCI."
    return [
        Finding(
            rule=rule,
            severity=Severity.PASS if branch.gfci else Severity.FAIL,
            subject=subject,
            message=text,
            fix="" if branch.gfci else "Fit a GFCI for this branch.",
            source="nec-551",
        )
    ]
