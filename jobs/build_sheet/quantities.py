"""Do build sheet, circuit schedule and what was sold name the same pieces?"""

from collections import defaultdict
from decimal import Decimal

from django.db.models import Exists, OuterRef

from catalog.models import CurrentDraw
from jobs.build_sheet.models import BuildLine, CircuitLoad
from jobs.findings import Finding, Severity
from jobs.intake.models import Job
from jobs.quoting.contract import contract_of

SHEET = "schedule_quantity"
SOLD = "sold_quantity"
# Lines of a quote or change that stand for pieces on the build sheet.
PIECES = ("part", "sublet")


def quantity_findings(job: Job) -> list[Finding]:
    """One finding a build line that draws current, and one for each line sold otherwise."""
    draws = CurrentDraw.objects.filter(revision=OuterRef("part"))
    lines = list(job.lines.annotate(draws=Exists(draws)).order_by("ref"))
    on_circuits = _on_circuits(job)
    findings = [
        _schedule(line, on_circuits.get(line.pk, {}))
        for line in lines
        if line.draws or line.pk in on_circuits  # type: ignore[attr-defined]
    ]
    return findings + _sold(job, {line.ref: line.quantity for line in lines})


def _on_circuits(job: Job) -> dict[int, dict[str, int]]:
    """Pieces by line and function; a piece may hang on one circuit with each function."""
    found: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    loads = CircuitLoad.objects.filter(circuit__job=job).order_by()
    for line, function, quantity in loads.values_list("line_id", "function", "quantity"):
        found[line][function] += quantity
    return found


def _schedule(line: BuildLine, functions: dict[str, int]) -> Finding:
    most, least = max(functions.values(), default=0), min(functions.values(), default=0)
    have = line.quantity
    if most > have:
        severity, text = Severity.FAIL, f"{most} on circuits, {have} on the build sheet."
    elif most == 0:
        severity, text = Severity.WARNING, "Draws current and hangs on no circuit."
    elif most < have:
        severity, text = Severity.FAIL, f"{have} on the build sheet, only {most} on circuits."
    else:
        severity, text = Severity.PASS, f"{have} on the build sheet, {have} on circuits."
        if least < have:
            text += " Not every piece has all its functions wired."
    fix = (
        "" if severity is Severity.PASS else "Hang each piece on its circuit, or correct the line."
    )
    return _finding(SHEET, line.ref, severity, text, fix, most, have)


def _sold(job: Job, sheet: dict[str, int]) -> list[Finding]:
    """Differences between the build sheet and the approved quote with its approved changes."""
    contract = contract_of(job)
    if contract is None:
        return []
    sold: dict[str, Decimal] = defaultdict(Decimal)
    lines = contract.quote.lines.filter(kind__in=PIECES).exclude(ref="")
    for ref, quantity in lines.values_list("ref", "quantity"):
        sold[ref] += quantity
    for change in contract.changes:
        for row in change.lines:
            if row["kind"] in PIECES and row["ref"]:
                sold[row["ref"]] += Decimal(row["quantity"])
    refs = sorted(
        ref for ref in sheet.keys() | sold.keys() if sheet.get(ref, 0) != sold.get(ref, 0)
    )
    fix = "Offer a change order, or correct the line."
    return [
        _finding(
            SOLD,
            ref,
            Severity.WARNING,
            f"{sheet.get(ref, 0)} on the build sheet, {sold[ref].normalize():f} sold.",
            fix,
            sheet.get(ref, 0),
            sold[ref],
        )
        for ref in refs
    ]


def _finding(
    rule: str,
    ref: str,
    severity: Severity,
    text: str,
    fix: str,
    measured: int,
    limit: int | Decimal,
) -> Finding:
    return Finding(
        rule=rule,
        severity=severity,
        subject=f"line {ref}",
        message=text,
        measured=float(measured),
        limit=float(limit),
        unit="pieces",
        fix=fix,
        source="design-input",
    )
