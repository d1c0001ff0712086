"""Deciding about entries that the rules refused: set aside with a reason, never deleted."""

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.checklists.readings import CheckError
from inspections.sync.models import DeviceEvent
from jobs.audit.record import record

UNDECIDED = (DeviceEvent.Answer.REFUSED, DeviceEvent.Answer.WAITING)


@transaction.atomic
def set_aside(*, row: DeviceEvent, by: User, reason: str) -> None:
    """Somebody decided that an entry is not to be recorded. The entry itself stays."""
    reason = reason.strip()[:200]
    if not reason:
        raise CheckError("Say why the entry is set aside.", "reason")
    changed = DeviceEvent.objects.filter(pk=row.pk, answer__in=UNDECIDED).update(
        answer=DeviceEvent.Answer.ASIDE,
        set_aside_at=timezone.now(),
        set_aside_by=by,
        set_aside_reason=reason,
    )
    if not changed:
        raise CheckError("This entry is recorded or already set aside.")
    record(
        by=by,
        verb="set aside",
        subject=row,
        job=row.body["job"][:20],
        sentence=f"Entry on {row.subject} set aside: {reason}. The rules said: {row.sentence}",
    )
