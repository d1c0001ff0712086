"""Deciding between answers. Nothing is overwritten: the decision is one more entry of the chain."""

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.checklists.actions import CheckError, decide_check, took_part
from inspections.checklists.models import Check, Result
from inspections.checklists.readings import computed_verdict
from inspections.decisions.conflicts import Conflict, conflict_of
from inspections.defects.actions import open_defect
from inspections.defects.models import Defect
from jobs.audit.record import display_name, record
from jobs.models import Shop, Unit

Verdict = Result.Verdict


class DecisionError(Exception):
    """Why it cannot be decided so, as a sentence."""


@transaction.atomic
def decide(*, check: Check, by: User, keeps: Result | None, seen: int, reason: str) -> Result:
    """Keep one answer, or none so that the check is done again, and draw what follows from it.

    Whoever gave one of the answers, or did the work, does not decide between them.
    """
    unit = Unit.objects.select_for_update().select_related("job").get(pk=check.unit_id)
    check = Check.objects.select_related("stage", "unit__job").get(pk=check.pk)
    conflict = conflict_of(check)
    if conflict is None:
        raise DecisionError(f"{check.ref} does not wait for a decision any more. Look again.")
    if not reason.strip():
        raise DecisionError("A decision needs its reason.")
    _require_independent(conflict, by)
    if keeps is not None:
        _require_answer(conflict, keeps)
    try:
        event = decide_check(check=check, by=by, keeps=keeps, seen=seen, reason=reason.strip())
    except CheckError as error:
        raise DecisionError(str(error)) from None
    _settle_defects(check, by, keeps, event)
    kept = (
        f"kept entry {keeps.sequence} ({keeps.get_verdict_display()})" if keeps else "check again"
    )
    record(
        by=by,
        verb="decided",
        subject=check,
        job=unit.job.number,
        sentence=f"{check.ref} on {unit.number}: {kept}. {reason.strip()}",
    )
    return event


def may_decide(conflict: Conflict, person: User) -> str:
    """Why this person may not decide, as a sentence; empty when they may."""
    if Shop.objects.filter(sole_trader=True).exists():
        return ""
    if person.pk in {result.person_id for result in conflict.answers}:
        return f"{display_name(person)} gave one of the answers; somebody else must decide."
    if took_part(check=conflict.check, person=person):
        return f"{display_name(person)} worked on {conflict.check.ref}; somebody else must decide."
    return ""


def _require_independent(conflict: Conflict, by: User) -> None:
    if why := may_decide(conflict, by):
        raise DecisionError(why)


def _require_answer(conflict: Conflict, keeps: Result) -> None:
    """Only one of the answers can be kept, and an old one only where the new limits allow it."""
    if keeps.pk not in {result.pk for result in conflict.answers}:
        raise DecisionError(f"Entry {keeps.sequence} is none of the answers that wait.")
    check = conflict.check
    if keeps.check_version == check.version or keeps.verdict != Verdict.PASS:
        return
    if check.photo_required and not keeps.photos.exists():
        raise DecisionError(f"{check.ref} asks for a photo now; this answer has none.")
    if check.kind != Check.Kind.READING:
        return
    if keeps.value is None or computed_verdict(check, keeps.value, keeps.pressed) != Verdict.PASS:
        value = "no reading" if keeps.value is None else f"{keeps.value.normalize():f}"
        raise DecisionError(
            f"Entry {keeps.sequence} has {value} {check.unit_of_measure}, which is outside the new "
            f"limits: {check.expected_text}. Let it be checked again."
        )


def _settle_defects(check: Check, by: User, keeps: Result | None, event: Result) -> None:
    """A kept failure has an open defect; a failure set aside for a pass leaves none open."""
    if keeps is None:
        return
    if keeps.verdict == Verdict.FAIL:
        open_defect(check, keeps, by)
        return
    for defect in check.defects.filter(state=Defect.State.OPEN):
        changed = Defect.objects.filter(pk=defect.pk, state=Defect.State.OPEN).update(
            state=Defect.State.CLOSED,
            closed_by=by,
            closed_at=timezone.now(),
            closing_result=event,
            disposition=Defect.Disposition.NO_DEFECT,
        )
        if changed:
            record(
                by=by,
                verb="closed",
                subject=defect,
                job=defect.unit.job.number,
                sentence=f"{defect} closed without rework: another result of {check.ref} was kept.",
            )
