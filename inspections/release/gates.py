"""Gates that what was proved puts before stages and holds. Registered when the app starts."""

from collections.abc import Iterator

from inspections.defects.actions import OPEN_STATES
from inspections.release.actions import RELEASE_HOLD
from inspections.release.models import Release
from jobs.models import Hold, Stage
from jobs.stages.gates import hold_gate, stage_gate


@stage_gate
def open_defects(stage: Stage) -> Iterator[str]:
    """Nothing is built over a defect of the step before."""
    before = stage.prerequisites.all()
    defects = stage.unit.defects.filter(state__in=OPEN_STATES, check_item__stage__in=before)
    for defect in defects.select_related("check_item__stage"):
        words = defect.get_state_display().lower()
        yield f"{defect} on {defect.check_item.stage.code} is {words}: {defect.check_item.title}."


@hold_gate
def first_article(hold: Hold) -> Iterator[str]:
    """Later units of a fleet wait until the first one has shown that the drawing is right."""
    if not hold.first_article:
        return
    unit = hold.stage.unit
    first = unit.job.units.order_by("id").first()
    if first is not None and first.pk != unit.pk and not _released(first.pk):
        yield (
            f"Unit {first.number} is the first article of {unit.job.number} and is not released "
            "yet."
        )


@hold_gate
def released_unit(hold: Hold) -> Iterator[str]:
    """The hold before delivery is the release itself, never a word beside it."""
    if hold.code == RELEASE_HOLD and not _released(hold.stage.unit_id):
        yield f"Unit {hold.stage.unit.number} is not released by an inspector."


def _released(unit_id: int) -> bool:
    return Release.objects.filter(unit_id=unit_id).exists()
