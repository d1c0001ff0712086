"""Small helpers for the sentences of findings."""

from jobs.findings import Finding, Severity, Step


def number(value: float) -> str:
    """At most two decimals, no empty tail.

    >>> number(12.50), number(125.0), number(0.006)
    ('12.5', '125', '0.006')
    """
    text = f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3g}"
    return text.rstrip("0").rstrip(".") if "." in text else text


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
