"""Writing history. Call it inside the transaction of the action it tells about."""

from typing import Any

from jobs.audit.models import AuditEvent


def display_name(user: Any) -> str:
    """The name people know: full name, else user name; 'system' when nobody acted."""
    if user is None:
        return "system"
    if isinstance(user, str):
        return user
    return user.get_full_name() or user.get_username()


def record(*, by: Any, verb: str, subject: Any, sentence: str, job: str = "") -> AuditEvent:
    """Append one event. `subject` is the row acted on; `sentence` is what a reader will see."""
    return AuditEvent.objects.create(
        who=display_name(by),
        verb=verb,
        job=job,
        subject_kind=type(subject).__name__,
        subject_id=str(subject.pk),
        sentence=sentence,
    )
