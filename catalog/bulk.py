"""Writing a plan of many parts in a number of queries that hardly grows with it."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import OuterRef, Subquery
from django.utils import timezone

from catalog.datasheet import rows_of, unsaved_revision
from catalog.errors import StaleImport
from catalog.models import CurrentDraw, Part, PartRevision, RatingLimit
from catalog.plan import Plan, chunks

STALE = "The catalog changed after this dry run. Nothing was applied."
_NEWEST = PartRevision.objects.filter(part=OuterRef("pk")).order_by("-number").values("pk")[:1]


@transaction.atomic
def write_plan(*, plan: Plan, reason: str, made_by: str) -> None:
    """Write every step or none. Parts that moved since the plan was made stop it."""
    try:
        with transaction.atomic():
            parts = {**_checked_parts(plan), **_new_parts(plan)}
            _write_revisions(plan, parts, reason, made_by)
    except IntegrityError:
        raise StaleImport(STALE) from None
    _file(plan, parts, made_by)


def _checked_parts(plan: Plan) -> dict[str, Part]:
    """The parts to revise, locked, if each still stands where the plan saw it."""
    expected = {step.code: (step.base, step.was_retired) for step in plan.steps if not step.is_new}
    found: dict[str, Part] = {}
    for chunk in chunks(expected):
        parts = Part.objects.filter(code__in=chunk).select_related("current")
        found |= {part.code: part for part in parts.select_for_update(of=("self",))}
    real = {code: (part.current.number, part.retired) for code, part in found.items()}
    if real != expected:
        raise StaleImport(STALE)
    return found


def _new_parts(plan: Plan) -> dict[str, Part]:
    made = Part.objects.bulk_create(
        Part(code=step.code, kind=step.new.facts["kind"]) for step in plan.steps if step.is_new
    )
    return {part.code: part for part in made}


def _write_revisions(plan: Plan, parts: dict[str, Part], reason: str, made_by: str) -> None:
    steps = [step for step in plan.steps if step.revises]
    revisions = PartRevision.objects.bulk_create(
        unsaved_revision(
            step.new,
            part=parts[step.code],
            number=step.base + 1,
            reason=reason,
            made_by=made_by,
        )
        for step in steps
    )
    draws: list[CurrentDraw] = []
    limits: list[RatingLimit] = []
    for step, revision in zip(steps, revisions, strict=True):
        more_draws, more_limits = rows_of(step.new, revision)
        draws += more_draws
        limits += more_limits
    CurrentDraw.objects.bulk_create(draws)
    RatingLimit.objects.bulk_create(limits)
    for chunk in chunks(parts[step.code].pk for step in steps):
        Part.objects.filter(pk__in=chunk).update(current=Subquery(_NEWEST))


def _file(plan: Plan, parts: dict[str, Part], made_by: str) -> None:
    """Kinds and retirement, which no revision holds."""
    kinds: dict[str, list[Any]] = defaultdict(list)
    states: dict[bool, list[Any]] = defaultdict(list)
    for step in plan.steps:
        part = parts[step.code]
        if part.kind != step.new.facts["kind"]:
            kinds[step.new.facts["kind"]].append(part.pk)
        if part.retired != step.retired:
            states[step.retired].append(part.pk)
    for kind, keys in kinds.items():
        _update(keys, kind=kind)
    _update(states[True], retired=True, retired_at=timezone.now(), retired_by=made_by)
    _update(states[False], retired=False, retired_at=None, retired_by="", replaced_by=None)


def _update(keys: Sequence[Any], **values: Any) -> None:
    for chunk in chunks(keys):
        Part.objects.filter(pk__in=chunk).update(**values)
