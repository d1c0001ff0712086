"""Change orders and the vehicle: what they do to it, raising them in the bay, doing them."""

from collections.abc import Callable
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.changes.edits import Edit, EditError, make
from jobs.changes.effect import Effect, effect_of_edits
from jobs.intake.models import Job, Unit
from jobs.photos.models import Photo
from jobs.quoting.change_lines import items_of
from jobs.quoting.changes import BEFORE_OFFER, draft_change, set_change_lines
from jobs.quoting.errors import QuoteError
from jobs.quoting.models import ChangeOrder
from jobs.stages.actions import plan_stages
from jobs.stages.models import Stage

# What rooms above do for a unit after its build sheet changed, such as bringing checks up to it.
AFTER: list[Callable[..., Any]] = []


@transaction.atomic
def set_edits(*, change: ChangeOrder, version: int, edits: list[Edit], by: Any) -> Effect:
    """Keep what a draft does to the build sheet, with its price and its computed effect.

    Lines that the office typed stay; those of the build sheet follow from the edits.
    """
    try:
        effect = effect_of_edits(change.job, edits)
    except EditError as error:
        raise QuoteError(str(error)) from None
    typed = [item for item in items_of(change) if not item.ref]
    set_change_lines(change=change, version=version, lines=[*typed, *effect.lines], by=by)
    # The claim above holds the row until the commit.
    change.edits = edits
    change.effect = (
        {"sentences": effect.sentences, "at": timezone.now().isoformat()} if edits else {}
    )
    change.save(update_fields=["edits", "effect"])
    return effect


def effect_moved_on(change: ChangeOrder) -> list[str]:
    """A change is offered with the effect that it has today, not with one of last week."""
    if not change.edits:
        return []
    try:
        now = effect_of_edits(change.job, change.edits).sentences
    except EditError as error:
        return [str(error)]
    if now == change.effect.get("sentences", []):
        return []
    return [f"The build sheet moved on since the effect of {change} was worked out. Do it again."]


BEFORE_OFFER.append(effect_moved_on)


@transaction.atomic
def raise_change(
    *,
    stage: Stage,
    title: str,
    reason: str,
    note: str,
    hold: bool,
    by: Any,
    photo: Photo | None = None,
) -> ChangeOrder:
    """A change found at the vehicle: a draft for the office to price, with the place and photo."""
    unit = stage.unit
    change = draft_change(
        job=unit.job, title=title, reason=reason, note=note, by=by, asked_by=display_name(by)
    )
    change.raised_at = f"unit {unit.number}, stage {stage.code}"
    change.holds_stages = [stage.code] if hold else []
    change.photo = photo
    change.save(update_fields=["raised_at", "holds_stages", "photo"])
    return change


@transaction.atomic
def apply_change(*, change: ChangeOrder, by: Any) -> None:
    """Put an approved change on the build sheet; stages and checks of its units follow. Once."""
    Job.objects.select_for_update().get(pk=change.job_id)
    claimed = ChangeOrder.objects.filter(
        pk=change.pk, state=ChangeOrder.State.APPROVED, applied_at=None
    ).update(applied_at=timezone.now(), applied_by=display_name(by), version=F("version") + 1)
    change.refresh_from_db()
    if not claimed:
        if change.applied_at:
            raise QuoteError(f"{change} is on the build sheet already, by {change.applied_by}.")
        raise QuoteError(f"{change} is {change.get_state_display().lower()}; it is not approved.")
    try:
        refs = make(change.job, change.edits)
    except EditError as error:
        raise QuoteError(str(error)) from None
    for unit in Unit.objects.filter(job=change.job, stages__isnull=False).distinct():
        plan_stages(unit=unit, by=by)
        for after in AFTER:
            after(unit=unit, by=by)
    record(
        by=by,
        verb="applied",
        subject=change,
        job=change.job.number,
        sentence=f"Put {change} on the build sheet: {', '.join(refs) or 'no line'}.",
    )
