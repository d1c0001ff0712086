"""What a change would alter, found by making it and taking it back."""

from collections.abc import Callable

from django.db import transaction

from jobs.build_sheet.design import design_of
from jobs.build_sheet.quantities import quantity_findings
from jobs.build_sheet.weights import weight_findings
from jobs.electrical.changes import Change, what_changed
from jobs.electrical.check import check
from jobs.findings import Finding, Severity
from jobs.intake.models import Job


def problems_of(job: Job) -> list[Finding]:
    """Everything about the job's design that does not pass, electrical and weight."""
    unit = job.units.order_by("id").first()
    design = design_of(job, unit=unit)
    quantities = [each for each in quantity_findings(job) if each.severity is not Severity.PASS]
    return [*check(design, problems_only=True), *quantities, *weight_findings(job, unit)]


def effect_of(job: Job, change: Callable[[], object]) -> list[Change]:
    """Findings that appear, change or vanish when `change` is made. Nothing of it stays."""
    with transaction.atomic():
        before = problems_of(job)
        change()
        after = problems_of(job)
        transaction.set_rollback(True)
    return what_changed(before, after)
