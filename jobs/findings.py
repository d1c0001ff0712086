"""Findings and worked lines: what every calculation hands back, and the one way to meet a limit."""

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache


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
    a feed, a mode, an axle), `name` how people call it where that differs. `measured` and `limit`
    are in `unit`; both are None when the severity is UNDETERMINED, or when the rule judges a kind
    and not a number. `message` is one sentence for people; `fix` says what would help; `source` is
    the id of a document in jobs/sources.py.
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
    name: str = ""

    @property
    def called(self) -> str:
        return self.name or self.subject


def worst(findings: "tuple[Finding, ...] | list[Finding]") -> Severity:
    """The worst severity of several findings; PASS when there are none."""
    present = {finding.severity for finding in findings}
    return next((severity for severity in WORST_FIRST if severity in present), Severity.PASS)


# Floats carry about 1e-15; readings on a vehicle about 1e-2. A millionth of the limit keeps
# 0.1 * 3 against 0.3 a pass and is far below anything a person could measure.
TOLERANCE = 1e-6


def at_most(value: float, limit: float) -> bool:
    """Value <= limit, within the tolerance.

    >>> at_most(0.1 * 3, 0.3), at_most(0.3001, 0.3)
    (True, False)
    """
    return value <= limit + TOLERANCE * abs(limit)


def at_least(value: float, limit: float) -> bool:
    """Value >= limit, within the tolerance.

    >>> at_least(0.7 + 0.1, 0.8), at_least(0.7999, 0.8)
    (True, False)
    """
    return value >= limit - TOLERANCE * abs(limit)


def undetermined(*, rule: str, subject: str, missing: str, fix: str, source: str) -> Finding:
    """Data are missing: the check cannot be made, and that is never a pass."""
    return Finding(
        rule=rule,
        severity=Severity.UNDETERMINED,
        subject=subject,
        message=f"Not checked: {missing}.",
        fix=fix,
        source=source,
    )


def judged(
    *,
    rule: str,
    subject: str,
    passes: bool,
    message: str,
    measured: float,
    limit: float,
    unit: str,
    fix: str,
    source: str,
    steps: tuple[Step, ...] = (),
    otherwise: Severity = Severity.FAIL,
) -> list[Finding]:
    """One finding: a pass, or `otherwise` with what would help."""
    return [
        Finding(
            rule=rule,
            severity=Severity.PASS if passes else otherwise,
            subject=subject,
            message=message,
            measured=measured,
            limit=limit,
            unit=unit,
            fix="" if passes else fix,
            source=source,
            steps=steps,
        )
    ]


@lru_cache(maxsize=32_768)
def number(value: float) -> str:
    """At most two decimals, no empty tail.

    >>> number(12.50), number(125.0), number(0.006)
    ('12.5', '125', '0.006')
    """
    text = f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3g}"
    return text.rstrip("0").rstrip(".") if "." in text else text
