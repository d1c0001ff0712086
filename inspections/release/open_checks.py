"""Checks that keep a stage or a unit from being signed."""

from inspections.checklists.models import Check
from inspections.defects.models import Defect
from jobs.models import Stage, Unit

DONE = (Check.State.PASS, Check.State.NOT_APPLICABLE)


def _conceded(unit: Unit) -> set[int]:
    """Checks whose failure the customer accepted in writing; nothing but that failure."""
    states = [Defect.State.CONCESSION]
    return set(unit.defects.filter(state__in=states).values_list("check_item_id", flat=True))


def open_checks(unit: Unit, stage: Stage | None = None) -> list[Check]:
    """Checks that still need somebody, critical or not."""
    checks = unit.checks.filter(retired=False).exclude(state__in=DONE)
    if stage is not None:
        checks = checks.filter(stage=stage)
    conceded = _conceded(unit)
    return [
        check
        for check in checks.select_related("stage")
        if not (check.state == Check.State.FAIL and check.pk in conceded)
    ]
