"""Signing off stages and releasing a unit. Both refuse with every reason in words."""

from collections import Counter
from collections.abc import Callable

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from inspections.checklists.models import Result
from inspections.decisions.conflicts import conflicts
from inspections.defects.actions import OPEN_STATES
from inspections.evidence.verify import verify_unit
from inspections.release.exceptions import exceptions
from inspections.release.models import Release
from inspections.release.open_checks import open_checks
from jobs.audit.record import display_name, record
from jobs.models import Hold, Job, Requirement, Shop, Stage, Unit, WorkEvent
from jobs.stages.actions import WORK_KINDS, sign_stage

STATEMENT = "I inspected this unit and its record. It may leave the shop."
RELEASE_HOLD = "H6"
# What rooms above keep of a unit at the moment of its release, in the same transaction.
RELEASED: list[Callable[[Unit], None]] = []


class ReleaseError(Exception):
    """Why it cannot be signed, as a sentence."""


@transaction.atomic
def sign_off(*, stage: Stage, by: User) -> WorkEvent:
    """Sign a finished stage when all its checks are done. The signer did no work on it."""
    # Results wait here, so that none is taken back between the look and the signature.
    unit = Unit.objects.select_for_update().get(pk=stage.unit_id)
    waiting = open_checks(unit, stage)
    if waiting:
        refs = ", ".join(check.ref for check in waiting[:6])
        more = f" and {len(waiting) - 6} more" if len(waiting) > 6 else ""
        raise ReleaseError(f"{stage.code} still has open checks: {refs}{more}.")
    open_defects = unit.defects.filter(state__in=OPEN_STATES, check_item__stage=stage)
    if found := ", ".join(str(defect) for defect in open_defects):
        raise ReleaseError(f"{stage.code} still has open defects: {found}.")
    return sign_stage(stage=stage, by=by)


def release_blockers(unit: Unit) -> list[str]:
    """Everything that keeps a unit from leaving, as sentences, worst first."""
    cancelled = unit.job.state == Job.State.CANCELLED
    found = [f"Job {unit.job.number} is cancelled."] if cancelled else []
    found += [
        f"{defect} is {defect.get_state_display().lower()}: {defect.check_item.title}."
        for defect in unit.defects.filter(state__in=OPEN_STATES).select_related("check_item")
    ]
    disputed = conflicts(unit)
    found += [f"{one.check.ref} {one.check.title} needs a decision. {one.why}" for one in disputed]
    known = {one.check.pk for one in disputed}
    waiting = [check for check in open_checks(unit) if check.critical and check.pk not in known]
    for state, count in Counter(check.get_state_display() for check in waiting).items():
        refs = [check.ref for check in waiting if check.get_state_display() == state]
        are = "checks are" if count > 1 else "check is"
        found.append(f"{count} critical {are} “{state}”: {', '.join(refs[:8])}.")
    unsettled = unit.job.requirements.filter(
        status__in=[Requirement.Status.OPEN, Requirement.Status.ASSUMED]
    )
    found += [f"RQ{row.number} is {row.get_status_display().lower()}." for row in unsettled]
    if not unit.checks.filter(retired=False).exists():
        found.append("No check was made for this unit.")
    behind = unit.stages.filter(state__in=[Stage.State.WAITING, Stage.State.WORKING])
    last = unit.stages.order_by("position").last()
    found += [
        f"{stage.code} {stage.name} is {stage.get_state_display().lower()}."
        for stage in behind
        if last is None or stage.pk != last.pk
    ]
    holds = Hold.objects.filter(stage__unit=unit, released_at=None).exclude(code=RELEASE_HOLD)
    found += [f"Hold {hold.code} is not released: {hold.requirement}." for hold in holds]
    if (broken := verify_unit(unit)) is not None:
        found.append(f"The evidence does not hold: {broken}")
    return found


def people_who_worked(unit: Unit) -> set[int]:
    worked = WorkEvent.objects.filter(stage__unit=unit, kind__in=WORK_KINDS)
    # Whoever reworks opens checks again; that entry stays, whoever reworks the same thing later.
    reworked = unit.results.filter(kind=Result.Kind.REOPEN).values_list("person", flat=True)
    return set(worked.values_list("person", flat=True)) | set(reworked)


def _own_results(unit: Unit, by: User) -> list[str]:
    """Said rather than forbidden: in a small shop the inspector also measures."""
    own = unit.results.filter(kind=Result.Kind.RESULT, person=by).count()
    every = unit.results.filter(kind=Result.Kind.RESULT).count()
    return [f"{display_name(by)} recorded {own} of the {every} results."] if own else []


@transaction.atomic
def release_unit(*, unit: Unit, by: User) -> Release:
    """Release a unit: signed by somebody who did none of its work, with the chain head kept."""
    unit = Unit.objects.select_for_update().select_related("job").get(pk=unit.pk)
    took_part = by.pk in people_who_worked(unit)
    if took_part and not Shop.objects.filter(sole_trader=True).exists():
        raise ReleaseError(
            f"{display_name(by)} did work on {unit.number}; somebody else must release it."
        )
    if blocked := release_blockers(unit):
        raise ReleaseError("Not released. " + " ".join(blocked))
    last = unit.results.order_by("sequence").last()
    try:
        with transaction.atomic():
            release = Release.objects.create(
                unit=unit,
                released_by=by,
                released_at=timezone.now(),
                chain_sequence=last.sequence if last else 0,
                chain_head=last.digest if last else "",
                statement=STATEMENT,
                exceptions=[*exceptions(unit), *_own_results(unit, by)],
                took_part=took_part,
            )
    except IntegrityError:
        raise ReleaseError(f"Unit {unit.number} is already released.") from None
    for keep in RELEASED:
        keep(unit)
    if not Unit.objects.filter(job=unit.job, release=None).exists():
        Job.objects.filter(pk=unit.job_id, state=Job.State.BUILDING).update(
            state=Job.State.RELEASED
        )
    record(
        by=by,
        verb="released",
        subject=unit,
        job=unit.job.number,
        sentence=f"Unit {unit.number} released; evidence chain head {release.chain_head[:12]}.",
    )
    return release
