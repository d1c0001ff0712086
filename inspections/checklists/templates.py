"""The shop's check templates: given to a new shop once, changed by adding a version."""

from collections.abc import Iterator
from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction

from inspections.checklists.standard import ALWAYS, BY_PART, Standard
from inspections.checklists.standard_design import DESIGN, MORE, REASON, REASONS
from inspections.checklists.template_models import CheckTemplate
from jobs.audit.record import record

# The order in which a unit's checks stand: what comes with every unit, the design, the rest.
DESIGN_POSITION, GROUP_POSITION = 100, 200


class TemplateError(Exception):
    """Why a template cannot be kept so, as a sentence."""


def ensure_templates() -> None:
    """Give the shop the trade's usual checks, each as version 1, where it has none of a code."""
    have = set(CheckTemplate.objects.values_list("code", flat=True))
    CheckTemplate.objects.bulk_create(
        (CheckTemplate(**row) for row in _usual() if row["code"] not in have),
        ignore_conflicts=True,
    )


def _usual() -> Iterator[dict[str, Any]]:
    for position, item in enumerate((*ALWAYS, *(one for one in MORE if not one.group))):
        yield _row(item, CheckTemplate.Source.EVERY, position)
    for position, row in enumerate(DESIGN, DESIGN_POSITION):
        yield {"source": CheckTemplate.Source.DESIGN, "position": position, **row}
    for position, item in enumerate(
        (*BY_PART, *(one for one in MORE if one.group)), GROUP_POSITION
    ):
        yield _row(item, CheckTemplate.Source.GROUP, position)


def _row(item: Standard, source: str, position: int) -> dict[str, Any]:
    return {
        "code": item.ref,
        "source": source,
        "group": item.group,
        "position": position,
        "title": item.title,
        "area": item.area,
        "stage": item.stage,
        "made_in": item.made_in,
        "kind": item.kind,
        "instruction": item.do,
        "expected_text": item.expect,
        "unit_of_measure": item.unit,
        "low": item.low or None,
        "high": item.high or None,
        "photo_required": item.photo,
        "critical": item.critical,
        "coverage_reason": REASONS.get(item.area, REASON),
        "authority": item.source,
    }


def current_templates() -> list[CheckTemplate]:
    """The newest version of every template, in the order of the checks; retired ones too."""
    ensure_templates()
    newest: dict[str, CheckTemplate] = {}
    for template in CheckTemplate.objects.order_by("version"):
        newest[template.code] = template
    return sorted(newest.values(), key=lambda one: (one.position, one.code))


@transaction.atomic
def change_template(
    *, code: str, seen_version: int, by: User, facts: dict[str, Any]
) -> CheckTemplate:
    """Keep a new version. Units whose checks exist already keep them until they are made again."""
    last = CheckTemplate.objects.filter(code=code).order_by("version").last()
    if last is None or last.version != seen_version:
        raise TemplateError(
            f"{code} was changed by somebody else while you had it open. Compare and save again."
        )
    fields = {
        field.name: getattr(last, field.name)
        for field in CheckTemplate._meta.concrete_fields
        if field.name not in ("id", "version", "made_by", "made_at")
    }
    return _keep(CheckTemplate(**{**fields, **facts}, version=last.version + 1, made_by=by), by)


@transaction.atomic
def add_template(*, by: User, facts: dict[str, Any]) -> CheckTemplate:
    """A check of the shop's own, for every unit or for units with parts of a group."""
    ensure_templates()
    source = CheckTemplate.Source.GROUP if facts.get("group") else CheckTemplate.Source.EVERY
    position = GROUP_POSITION + 99 if facts.get("group") else DESIGN_POSITION - 1
    return _keep(CheckTemplate(**facts, source=source, position=position, made_by=by), by)


def _keep(template: CheckTemplate, by: User) -> CheckTemplate:
    try:
        with transaction.atomic():
            template.save()
    except IntegrityError:
        raise TemplateError(
            f"{template.code} has a version {template.version} already. Look again."
        ) from None
    record(
        by=by,
        verb="changed" if template.version > 1 else "added",
        subject=template,
        sentence=f"Check template {template}: {template.note or template.title}.",
    )
    return template
