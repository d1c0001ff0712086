"""Checks of a unit, made from its design. Generating again updates what changed, never doubles."""

from dataclasses import fields

from django.contrib.auth.models import User
from django.db import transaction

from inspections.checklists.actions import note_generated
from inspections.checklists.events import refresh_state
from inspections.checklists.logic_steps import keep_step, name_step
from inspections.checklists.models import ASKS, Check
from inspections.checklists.readings import CheckError
from inspections.checklists.spec import Spec
from inspections.checklists.specs import specs
from jobs.models import Stage, Unit


@transaction.atomic
def generate_checks(*, unit: Unit, by: User | None, only: str = "") -> tuple[int, int]:
    """Bring the unit's checks up to the design. Returns how many are new and how many changed.

    A check whose question changed gets a new version, so that results for the old one ask to be
    repeated. A check that the design no longer asks for is retired, never deleted. With `only` the
    checks of one template are added to and all others left alone.
    """
    Unit.objects.select_for_update().get(pk=unit.pk)
    if Unit.objects.filter(pk=unit.pk, release__isnull=False).exists():
        raise CheckError(f"Unit {unit.number} is released; its checks stay as they are.")
    stages = {stage.code: stage for stage in unit.stages.all()}
    have = {check.key: check for check in unit.checks.all()}
    made = changed = 0
    keys = set()
    for position, spec in enumerate(specs(unit)):
        keys.add(spec.key)
        if only and (spec.template_code != only or spec.key in have):
            continue
        stage = stages.get(spec.stage)
        if stage is None:
            raise Stage.DoesNotExist(f"Unit {unit.number} has no stage {spec.stage} yet.")
        check = have.get(spec.key) or Check(unit=unit, key=spec.key)
        new = check.pk is None
        if spec.about and not new:
            keep_step(check, position)
            continue
        asks_anew = not new and any(getattr(check, n) != getattr(spec, n) for n in ASKS)
        if asks_anew:
            check.former[str(check.version)] = _question(check)
        _fill(check, spec, stage, position)
        if spec.about:
            name_step(check, have.values())
            have[check.key] = check
        check.version += asks_anew
        check.save()
        made, changed = made + new, changed + asks_anew
        if asks_anew:
            refresh_state(check)
    gone = [check.pk for key, check in have.items() if key not in keys and not check.retired]
    if only:
        gone = []
    Check.objects.filter(pk__in=gone).update(retired=True)
    note_generated(unit=unit, by=by, made=made, changed=changed + len(gone))
    return made, changed + len(gone)


def _question(check: Check) -> dict[str, str | None]:
    values = ((name, getattr(check, name)) for name in ASKS)
    return {name: None if value is None else str(value) for name, value in values}


def _fill(check: Check, spec: Spec, stage: Stage, position: int) -> None:
    for field in fields(spec):
        if field.name != "stage":
            setattr(check, field.name, getattr(spec, field.name))
    check.stage, check.position = stage, position
    check.retired = False
