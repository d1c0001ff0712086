"""Adding a maker's document to a part, and taking one off its list."""

from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from catalog.models import Part
from inspections.manuals.models import Manual
from jobs.audit.record import display_name, record
from jobs.documents.attached import keep_attached


class ManualError(Exception):
    """Why it cannot be, as a sentence."""


def add_manual(*, part: Part, kind: str, title: str, file: Any, by: User) -> Manual:
    """The bytes are on disk, forced, before the row exists."""
    sha256 = keep_attached(file)
    try:
        with transaction.atomic():
            manual = Manual.objects.create(
                part=part,
                kind=kind,
                title=title,
                sha256=sha256,
                size_bytes=file.size,
                added_by=display_name(by),
            )
            sentence = f"Maker's document of {part.code}: {title}."
            record(by=by, verb="added", subject=manual, sentence=sentence)
    except IntegrityError:
        raise ManualError(f"{part.code} has this very file already.") from None
    return manual


@transaction.atomic
def remove_manual(*, manual: Manual, by: User) -> None:
    removed = Manual.objects.filter(pk=manual.pk, removed_at=None).update(
        removed_at=timezone.now(), removed_by=display_name(by)
    )
    if not removed:
        raise ManualError(f"{manual} is taken off the list already.")
    sentence = f"Took {manual} off the documents of {manual.part.code}."
    record(by=by, verb="removed", subject=manual, sentence=sentence)
