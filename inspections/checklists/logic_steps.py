"""Test steps of the released control logic as checks of a unit.

The key of such a check is the digest of what it shows: settings, outcome and the rules behind it.
A new version therefore keeps every check that it does not affect, with its results; an affected one
is retired with its history, and a new check that names it asks again.
"""

from collections.abc import Iterable
from typing import Any

from inspections.checklists.models import Check
from inspections.checklists.spec import Spec
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.drafting.working_out import complete
from jobs.models import Job, LogicWork

AREA, SAFETY_AREA = "Control logic", "Control logic, safety"
REF = "STEP."
STAGE, MADE_IN = "S11", "S10"
TITLE, EXPECTED = 160, 200


def logic_specs(job: Job) -> list[Spec]:
    """One check for each thing that the released version's steps show, in the order of the tour."""
    kept = released_logic(job)
    if kept is None:
        return []
    return [_spec(row, kept.version) for row in complete(kept, LogicWork.Kind.STEPS).found]


def _spec(row: dict[str, Any], version: str) -> Spec:
    parts = [f"Start: {row['start']}", *row["instruction"].splitlines(), *row["cautions"]]
    return Spec(
        key=f"logic {row['digest']}",
        ref=REF,
        title=row["title"][:TITLE],
        area=SAFETY_AREA if row["safety"] else AREA,
        stage=STAGE,
        kind=Check.Kind.FUNCTION,
        instruction="\n".join(parts),
        expected_text=row["expected"][:EXPECTED],
        tolerance_source=f"Control logic {version}, step {row['step']}",
        made_in=MADE_IN,
        critical=row["safety"],
        about=row["key"],
    )


def name_step(check: Check, have: Iterable[Check]) -> None:
    """Give a new step the next number of its unit, and the step that asked the same before."""
    steps = [each for each in have if each.about]
    last = max((int(each.ref.removeprefix(REF)) for each in steps), default=0)
    check.ref = f"{REF}{last + 1}"
    before = [each for each in steps if each.about == check.about and not each.retired]
    check.replaces = before[-1] if before else None


def keep_step(check: Check, position: int) -> None:
    """An unaffected step stays as it was asked and answered; only its place may change."""
    if check.position != position or check.retired:
        Check.objects.filter(pk=check.pk).update(position=position, retired=False)
    check.position, check.retired = position, False
