"""What happens to agency-owned equipment: expected, received, or given up with a reason."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import F

from jobs.audit.record import record
from jobs.intake.agencies.actions import field_words
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import FurnishedItem, Job


@transaction.atomic
def expect_item(*, job: Job, values: Mapping[str, Any], by: Any) -> FurnishedItem:
    item = FurnishedItem.objects.create(job=job, **values)
    holds = f"; stage {item.needed_for_stage} waits for it" if item.needed_for_stage else ""
    _record(item, by, "expects", f"Expects from the agency: {_named(item)}{holds}.")
    return item


@transaction.atomic
def change_item(*, item: FurnishedItem, version: int, values: Mapping[str, Any], by: Any) -> None:
    changed = update_guarded(item, version=version, values=values)
    if changed:
        sentence = f"Changed {_named(item)}: {field_words(FurnishedItem, changed)}."
        _record(item, by, "changed", sentence)


@transaction.atomic
def receive_item(*, item: FurnishedItem, values: Mapping[str, Any], by: Any) -> None:
    """Write down the arrival, once. It also ends a waiver: the thing is here after all."""
    received = FurnishedItem.objects.filter(pk=item.pk, arrived_on=None).update(
        **values, waived_reason="", version=F("version") + 1
    )
    item.refresh_from_db()
    if not received:
        raise IntakeError(
            f"{item.description} was received on {item.arrived_on:%-d %b %Y} already, "
            f"by {item.received_by}."
        )
    serial = f", serial {item.serial}" if item.serial else ""
    cables = "with cables" if item.cables_included else "without cables"
    sentence = f"Received {_named(item)}{serial}, {cables}: {item.condition}"
    _record(item, by, "received", sentence)


@transaction.atomic
def waive_item(*, item: FurnishedItem, reason: str, by: Any) -> None:
    waived = FurnishedItem.objects.filter(pk=item.pk, arrived_on=None, waived_reason="").update(
        waived_reason=reason, version=F("version") + 1
    )
    item.refresh_from_db()
    if not waived:
        raise IntakeError(f"{item.description} is received or given up already.")
    _record(item, by, "waived", f"Goes on without {_named(item)}: {reason}")


def _named(item: FurnishedItem) -> str:
    return f"{item.quantity} x {item.description}" if item.quantity > 1 else item.description


def _record(item: FurnishedItem, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=item, job=item.job.number, sentence=sentence)
