"""The stages of a unit, from the shop's templates; their hours follow from the build lines."""

from collections import defaultdict

from django.contrib.auth.models import User
from django.db import transaction

from jobs.audit.record import record
from jobs.build_sheet.unit_lines import lines_of
from jobs.intake.models import Unit
from jobs.stages.models import Hold, Stage, StageTemplate
from jobs.stages.standard import STANDARD_STAGES


@transaction.atomic
def ensure_templates() -> None:
    """Give a shop without stage templates the trade's usual ones."""
    if StageTemplate.objects.exists():
        return
    StageTemplate.objects.bulk_create(
        StageTemplate(position=position, **standard)
        for position, standard in enumerate(STANDARD_STAGES)
    )


@transaction.atomic
def plan_stages(*, unit: Unit, by: User | None) -> list[Stage]:
    """Give a unit its stages from the shop's templates; hours follow from its build lines.

    Planning again updates hours and adds stages that the templates gained; it never removes work.
    """
    ensure_templates()
    minutes = planned_minutes(unit)
    stages = {stage.code: stage for stage in unit.stages.all()}
    templates = list(StageTemplate.objects.all())
    for template in templates:
        stage = stages.get(template.code) or Stage(unit=unit, code=template.code)
        if stage.pk is None:
            stage.name, stage.position = template.name, template.position
            stage.instructions, stage.cautions = template.instructions, template.cautions
        stage.planned_minutes = minutes[template.code]
        stage.save()
        if template.code not in stages:
            Hold.objects.bulk_create(Hold(stage=stage, **hold) for hold in template.holds)
        stages[template.code] = stage
    for template in templates:
        wanted = [stages[code] for code in template.prerequisites if code in stages]
        stages[template.code].prerequisites.add(*wanted)
    record(
        by=by,
        verb="planned",
        subject=unit,
        job=unit.job.number,
        sentence=f"Planned {len(templates)} stages for unit {unit.number}.",
    )
    return list(unit.stages.all())


def planned_minutes(unit: Unit) -> dict[str, int]:
    """Minutes per stage code: the labour of each build line that the unit gets there."""
    minutes: dict[str, int] = defaultdict(int)
    for line in lines_of(unit):
        if line.stage:
            minutes[line.stage] += line.minutes
    return minutes
