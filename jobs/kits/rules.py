"""The usual control rules that a kit brings along, put into the newest draft of a job's logic."""

from collections.abc import Iterable
from typing import Any

from django.db.models import F

from jobs.audit.record import display_name
from jobs.build_sheet.models import ControlLogic
from jobs.controls.codec import from_json, sha256, to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.templates.apply import apply
from jobs.controls.templates.catalogue import TEMPLATES
from jobs.intake.models import Job

FIRST_VERSION = "v1.0"


def with_rules(job: Job, keys: Iterable[str]) -> tuple[Logic, list[str], list[str]]:
    """The newest logic with the rules; their keys; and a sentence for each that did not fit."""
    last = job.logic_versions.order_by("id").last()
    logic = from_json(last.logic if last else {"version": FIRST_VERSION})
    added, refused = [], []
    for key in sorted(keys):
        try:
            logic = apply(logic, TEMPLATES[key])
            added.append(key)
        except LogicError as error:
            refused.append(f"Rule {key}: {error}")
    return logic, added, refused


def add_rules(job: Job, keys: Iterable[str], by: Any, source: str) -> list[str]:
    """Put the rules into the job's draft, or into a new one. Returns why some were left out.

    A released version stays as it is: the rules then start the next version.
    """
    logic, added, refused = with_rules(job, keys)
    if not added:
        return refused
    data = to_json(logic)
    last = job.logic_versions.order_by("id").last()
    if last and not last.is_released:
        data["version"] = last.version
        ControlLogic.objects.filter(pk=last.pk, released_at=None).update(
            logic=data, sha256=sha256(from_json(data)), edits=F("edits") + 1
        )
        return refused
    data["version"] = _next_version(job)
    ControlLogic.objects.create(
        job=job,
        version=data["version"],
        logic=data,
        sha256=sha256(from_json(data)),
        note=f"{', '.join(added)} from kit {source}",
        based_on=last.version if last else "",
        made_by=display_name(by),
    )
    return refused


def _next_version(job: Job) -> str:
    taken = set(job.logic_versions.values_list("version", flat=True))
    number = len(taken)
    while (name := f"v1.{number}") in taken:
        number += 1
    return name
