"""How full is each opening in firewall, floor or roof?"""

from math import pi

from jobs.electrical.case import Case
from jobs.electrical.design import Conductor, PassThrough, ReturnPath
from jobs.electrical.tables.outside import OUTSIDE_MM, SOURCE
from jobs.findings import Finding, Step, at_most, judged, number, undetermined

RULE = "pass_through_fill"


def pass_through_fill(case: Case) -> list[Finding]:
    """Conductors through each opening fill no more than the rule set's share of it."""
    return [found for item in case.design.pass_throughs for found in _fill(case, item)]


def _fill(case: Case, item: PassThrough) -> list[Finding]:
    subject = f"pass-through {item.ref}"
    runs: list[Conductor] = [case.feeds[ref] for ref in item.through_feeds]
    runs += [case.circuits[ref] for ref in item.through_circuits]
    gaps = _gaps(item, runs)
    if gaps or item.bore_m is None:
        missing, fix = f"not entered: {', '.join(gaps)}", "Enter what is missing."
        return [undetermined(rule=RULE, subject=subject, missing=missing, fix=fix, source=SOURCE)]
    counts = [_count(run) for run in runs]
    limit = case.rules.opening_fill[min(sum(counts), 3) - 1]
    bore_mm = 1000 * item.bore_m
    areas = [_area_mm2(OUTSIDE_MM[run.awg or ""]) for run in runs]
    filled = sum(count * area for count, area in zip(counts, areas, strict=True))
    percent, most = 100 * filled / _area_mm2(bore_mm), 100 * limit.value
    passes = at_most(percent, most)
    if passes and case.problems_only:
        return []
    return judged(
        rule=RULE,
        subject=subject,
        passes=passes,
        message=(
            f"{sum(counts)} conductors fill {number(percent)} % of the {number(bore_mm)} mm "
            f"opening; {most:g} % allowed."
        ),
        measured=percent,
        limit=most,
        unit="%",
        fix="Use a larger opening, a second one, or fewer and thicker feeds.",
        source=limit.source,
        steps=(
            *(_step(*each) for each in zip(runs, counts, areas, strict=True)),
            Step(
                symbol="A_opening",
                formula=f"pi / 4 x ({number(bore_mm)} mm)^2",
                value=_area_mm2(bore_mm),
                unit="mm2",
            ),
            Step(
                symbol="fill",
                formula="100 x sum of the conductors / A_opening",
                value=percent,
                unit="%",
            ),
        ),
    )


def _gaps(item: PassThrough, runs: list[Conductor]) -> list[str]:
    gaps = [] if item.bore_m is not None else ["the diameter of the opening"]
    if not runs:
        gaps.append("what goes through it")
    return gaps + [f"a known conductor size of {r.ref}" for r in runs if r.awg not in OUTSIDE_MM]


def _count(run: Conductor) -> int:
    """Out, and back when the return is a wire beside it."""
    return 2 if run.return_path is ReturnPath.WIRE else 1


def _area_mm2(diameter_mm: float) -> float:
    return pi / 4 * diameter_mm**2


def _step(run: Conductor, count: int, area_mm2: float) -> Step:
    outside = number(OUTSIDE_MM[run.awg or ""])
    return Step(
        symbol=f"A_{run.ref}",
        formula=f"{count} x pi / 4 x ({outside} mm)^2 ({run.awg} AWG)",
        value=count * area_mm2,
        unit="mm2",
        source=SOURCE,
    )
