"""What a change of the build sheet means for the checks: told before, done after its approval."""

from typing import Any

from inspections.checklists.generate import ASKS, generate_checks
from inspections.checklists.specs import specs
from jobs.changes.actions import AFTER
from jobs.changes.effect import READERS
from jobs.models import Unit
from jobs.quoting.errors import QuoteError


def questions(unit: Unit) -> dict[str, Any]:
    """What every check of the unit asks, by the check's reference."""
    return {spec.ref: tuple(getattr(spec, name) for name in ASKS) for spec in specs(unit)}


def bring_up(*, unit: Unit, by: Any) -> None:
    """Checks that were made already follow the changed design; results of others stay.

    A released unit stays as it was released; a change is for those that are still in the shop.
    """
    if not Unit.objects.filter(job=unit.job_id, release=None).exists():
        raise QuoteError("Every unit of the job is released; the build sheet stays as it is.")
    if unit.checks.exists() and not hasattr(unit, "release"):
        generate_checks(unit=unit, by=by)


READERS["checks"] = questions
AFTER.append(bring_up)
