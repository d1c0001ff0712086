"""The door from rows to the weight calculation."""

from jobs.findings import Finding
from jobs.intake.models import Job, Unit


def weight_findings(job: Job, unit: Unit | None) -> list[Finding]:
    return []
