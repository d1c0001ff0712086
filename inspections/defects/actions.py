"""From a failed result to a closed defect. The failed reading stays; somebody else re-checks."""

from collections.abc import Sequence
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from config.access import MANAGER, has_role
from inspections.checklists.actions import (
    CheckError,
    Reading,
    decide_check,
    record_result,
    reopen_check,
)
from inspections.checklists.generate import generate_checks
from inspections.checklists.models import Check, Result
from inspections.defects.models import Defect
from jobs.audit.record import display_name, record
from jobs.models import Photo, Shop, Unit

OPEN_STATES = (Defect.State.OPEN, Defect.State.REWORKED)


class DefectError(Exception):
    """Why a step is not possible, as a sentence."""


@transaction.atomic
def record_check(
    *, check: Check, by: User, reading: Reading, photos: Sequence[Photo] = ()
) -> tuple[Result, Defect | None]:
    """Record a result and what follows: a fail opens a defect, a later pass closes it."""
    waiting = check.defects.filter(state=Defect.State.REWORKED).first()
    if waiting is not None and waiting.reworked_by_id == by.pk:
        _require_another_day(waiting, by)
    replay = Result.objects.filter(client_id=reading.client_id).exists()
    result = record_result(check=check, by=by, reading=reading, photos=photos)
    if replay:
        return result, Defect.objects.filter(result=result).first()
    if result.verdict == Result.Verdict.FAIL:
        if check.sampled:  # what stood for others does so no more
            generate_checks(unit=check.unit, by=by, only=check.template_code)
        return result, open_defect(check, result, by)
    if result.verdict == Result.Verdict.PASS and waiting is not None:
        _close(waiting, result, by)
    return result, None


def _require_another_day(defect: Defect, by: User) -> None:
    """Somebody else re-checks. A sole trader has nobody else, and looks again on another day."""
    if not Shop.objects.filter(sole_trader=True).exists():
        raise CheckError(f"{display_name(by)} reworked {defect}; somebody else must re-check it.")
    if defect.reworked_at and timezone.localdate(defect.reworked_at) >= timezone.localdate():
        raise CheckError(f"{display_name(by)} reworked {defect} today; re-check it on another day.")


def open_defect(check: Check, result: Result, by: User) -> Defect:
    """A new defect; a failed re-check sends the same defect back to rework instead."""
    own = Defect.objects.filter(result=result).first()
    known = check.defects.filter(state__in=OPEN_STATES).first() or own
    if known is not None:
        if known == own and known.state in (Defect.State.OPEN, Defect.State.CONCESSION):
            return known
        Defect.objects.filter(pk=known.pk).update(
            state=Defect.State.OPEN,
            reworked_by=None,
            reworked_at=None,
            closed_by=None,
            closed_at=None,
            closing_result=None,
            closed_alone=False,
            failures=F("failures") + 1,
            escalated=True,
        )
        _note(known, by, "failed again", f"{known} failed again at {check.ref}.")
        return known
    unit = Unit.objects.select_for_update().get(pk=check.unit_id)
    last = unit.defects.order_by("number").last()
    defect = Defect.objects.create(
        unit=unit,
        number=last.number + 1 if last else 1,
        check_item=check,
        result=result,
        found=found_words(check, result),
    )
    _note(defect, by, "opened", f"{defect} opened: {check.title}. {defect.found}")
    return defect


def found_words(check: Check, result: Result) -> str:
    """What was found against what was expected, in one sentence."""
    if result.value is not None:
        value = f"{result.value.normalize():f} {check.unit_of_measure}"
        return f"Found {value}; expected: {check.expected_text}. {result.reason}".strip()
    return f"Expected: {check.expected_text}. {result.reason or 'Failed.'}".strip()


def _note(defect: Defect, by: User, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=defect, job=defect.unit.job.number, sentence=sentence)


def _close(defect: Defect, result: Result, by: User) -> None:
    Defect.objects.filter(pk=defect.pk, state=Defect.State.REWORKED).update(
        state=Defect.State.CLOSED,
        closed_by=by,
        closed_at=timezone.now(),
        closing_result=result,
        closed_alone=(alone := defect.reworked_by_id == by.pk),
    )
    words = " By the person who reworked it (sole trader)." if alone else ""
    _note(defect, by, "closed", f"{defect} closed: {defect.check_item.ref} passed again.{words}")


@transaction.atomic
def describe_defect(*, defect: Defect, by: User, seen_version: int, **facts: Any) -> None:
    """Keep cause, containment, disposition and rework text; never over somebody else's change."""
    if has_role(by, MANAGER):
        facts["escalated"] = False
    changed = Defect.objects.filter(pk=defect.pk, version=seen_version).update(
        version=seen_version + 1, **facts
    )
    if not changed:
        raise DefectError(
            f"{defect} was changed by somebody else while you had it open. "
            "Your words are kept below; compare and save again."
        )
    _note(defect, by, "described", f"{defect}: cause and containment updated.")


@transaction.atomic
def mark_reworked(*, defect: Defect, by: User, retest: Sequence[Check]) -> None:
    """Ready for re-check: the failed check and everything disturbed are opened again."""
    defect.refresh_from_db()
    missing = [
        words
        for words, value in (
            ("the cause", defect.cause),
            ("what else was touched", defect.containment),
            ("what was done", defect.rework_text),
        )
        if not value
    ]
    if missing:
        raise DefectError(f"{defect} still needs: {', '.join(missing)}.")
    if defect.escalated:
        raise DefectError(
            f"{defect} failed {defect.failures} times. An office manager looks at its cause and "
            "saves the description before it is reworked again."
        )
    changed = Defect.objects.filter(pk=defect.pk, state=Defect.State.OPEN).update(
        state=Defect.State.REWORKED, reworked_by=by, reworked_at=timezone.now()
    )
    if not changed:
        raise DefectError(f"{defect} is not open any more. Look again.")
    defect.retest.set(retest)
    for check in {defect.check_item, *retest}:
        reopen_check(check=check, by=by, reason=f"Rework of {defect}")
    _note(defect, by, "reworked", f"{defect} reworked; {len(retest) + 1} checks open again.")


@transaction.atomic
def contain(*, defect: Defect, by: User, checks: Sequence[Check]) -> list[Check]:
    """Order checks again that the same cause may have touched. Returns those opened by it.

    A check that nobody did yet waits anyway; a released unit stays as it was signed.
    """
    released = {check for check in checks if hasattr(check.unit, "release")}
    if released:
        names = ", ".join(sorted({f"{check.ref} on {check.unit.number}" for check in released}))
        raise DefectError(
            f"{names}: released already. Write into the containment what is done about it."
        )
    opened = []
    for check in sorted(checks, key=lambda one: (one.unit_id, one.pk)):  # one order: no deadlock
        unit = Unit.objects.select_for_update().get(pk=check.unit_id)
        check.refresh_from_db(fields=["state"])
        last = check.results.order_by("sequence").last()
        if last is None or check.state in (Check.State.OPEN, Check.State.AGAIN):
            continue
        reason = f"Containment of {defect} on {defect.unit.number}"
        decide_check(check=check, by=by, keeps=None, seen=last.sequence, reason=reason)
        opened.append(check)
        if unit.pk != defect.unit_id:
            _note(defect, by, "contained", f"{check.ref} on {unit.number} open again: {reason}.")
    defect.contained.add(*checks)
    refs = ", ".join(f"{check.ref} on {check.unit.number}" for check in opened)
    _note(defect, by, "contained", f"{defect}: {refs or 'nothing'} to be checked again.")
    return opened


@transaction.atomic
def concede(*, defect: Defect, by: User, customer: str, reason: str) -> None:
    """Use as is, by the customer's written word. The check stays failed and is listed."""
    if not customer.strip() or not reason.strip():
        raise DefectError("A concession needs the customer's name and the reason.")
    changed = Defect.objects.filter(pk=defect.pk, state__in=OPEN_STATES).update(
        state=Defect.State.CONCESSION,
        disposition=Defect.Disposition.USE_AS_IS,
        concession_by=customer.strip(),
        rework_text=reason.strip(),
        closed_by=None,
        closed_at=None,
    )
    if not changed:
        raise DefectError(f"{defect} is not open any more. Look again.")
    _note(defect, by, "conceded", f"{defect} accepted as is by {customer}: {reason}")
