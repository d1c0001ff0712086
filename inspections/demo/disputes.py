"""The demo's disagreement and its decision, and a check template that the shop changed."""

import uuid
from typing import Any

from django.contrib.auth.models import User

from inspections.checklists.actions import Reading
from inspections.checklists.templates import change_template, current_templates
from inspections.decisions.actions import decide
from inspections.decisions.conflicts import conflict_of
from inspections.defects.actions import record_check
from inspections.demo.rows import read
from jobs.models import Unit


def settle_dispute(unit: Unit, facts: dict[str, Any], people: dict[str, User]) -> None:
    """A second person answers without having seen the first answer; a third one decides."""
    check = unit.checks.get(ref=facts["check"])
    blind = Reading(
        client_id=uuid.uuid4(),
        pressed=facts["pressed"],
        reason=facts["reason"],
        device=facts["device"],
    )
    record_check(check=check, by=people[facts["by"]], reading=blind)
    check.refresh_from_db()
    conflict = conflict_of(check)
    if conflict is not None:
        decide(
            check=check,
            by=people[facts["decided_by"]],
            keeps=conflict.answers[0],
            seen=conflict.seen,
            reason=facts["decision"],
        )


def change_templates(people: dict[str, User]) -> None:
    """What the shop learned from its first vehicle; later units are checked by the new version."""
    versions = {template.code: template.version for template in current_templates()}
    for row in read("work")["templates"]:
        if versions[row["code"]] == 1:
            change_template(
                code=row["code"], seen_version=1, by=people[row["by"]], facts=row["facts"]
            )
