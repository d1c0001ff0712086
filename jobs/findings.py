"""Findings and worked lines: what every calculation hands back. Pure values, no framework."""

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How bad it is. UNDETERMINED means data is missing; it is never a pass."""

    FAIL = "fail"
    UNDETERMINED = "undetermined"
    WARNING = "warning"
    PASS = "pass"  # noqa: S105


WORST_FIRST = (Severity.FAIL, Severity.UNDETERMINED, Severity.WARNING, Severity.PASS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One line of a worked calculation: symbol = formula = value unit."""

    symbol: str
    formula: str
    value: float
    unit: str
    source: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """One check's answer about one subject.

    `rule` is the stable key of the check, `subject` the reference of the thing checked (a circuit,
    a feed, a mode, an axle). `measured` and `limit` are in `unit`; both are None when the severity
    is UNDETERMINED, or when the rule judges a kind and not a number. `message` is one sentence for people; `fix` says what would help;
    `source` is the id of a document in jobs/sources.py or of a rule-set row.
    """

    rule: str
    severity: Severity
    subject: str
    message: str
    measured: float | None = None
    limit: float | None = None
    unit: str = ""
    fix: str = ""
    source: str = ""
    steps: tuple[Step, ...] = ()


def worst(findings: "tuple[Finding, ...] | list[Finding]") -> Severity:
    """The worst severity of several findings; PASS when there are none."""
    present = {finding.severity for finding in findings}
    return next((severity for severity in WORST_FIRST if severity in present), Severity.PASS)
