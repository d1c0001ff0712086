"""The queue of documents: claimed by conditional update, leased, retried, swept."""

import logging
from datetime import timedelta

from django.conf import settings
from django.db.models import F, Q
from django.db.models.functions import Now

from jobs.documents.models import Document
from jobs.documents.packet import RenderError, build

log = logging.getLogger(__name__)
MOST_ATTEMPTS = 5
State = Document.State


def waiting() -> Q:
    """Documents nobody works on: queued, or claimed by a worker that died."""
    return Q(state=State.QUEUED) | Q(state=State.RUNNING, lease_until__lt=Now())


def _lease() -> object:
    return Now() + timedelta(seconds=settings.LEASE_SECONDS)


def claim_document() -> Document | None:
    """Take the oldest waiting document, or None. Two workers never get the same one."""
    oldest = Document.objects.filter(waiting()).order_by("created_at", "id")
    for pk in oldest.values_list("pk", flat=True)[:20]:
        taken = Document.objects.filter(waiting(), pk=pk).update(
            state=State.RUNNING, lease_until=_lease(), attempts=F("attempts") + 1
        )
        if taken:
            return Document.objects.get(pk=pk)
    return None


def make_document(document: Document) -> None:
    """Render a claimed document and record how it ended."""
    if document.attempts > MOST_ATTEMPTS:
        _end(
            document,
            state=State.FAILED,
            error=f"Stopped after {MOST_ATTEMPTS} attempts at: {document.progress}.",
        )
        return
    try:
        made = build(document, tell=lambda done, words: _tell(document, done, words))
    except RenderError as error:
        _end(document, state=State.FAILED, error=str(error))
    except Exception as error:
        log.exception("Document %s could not be made", document.pk)
        again = document.attempts < MOST_ATTEMPTS
        _end(
            document,
            state=State.QUEUED if again else State.FAILED,
            error=f"{document.progress}: {type(error).__name__}.",
        )
    else:
        _end(document, state=State.DONE, error="", finished_at=Now(), progress="Ready", **made)


def _tell(document: Document, done: int, words: str) -> None:
    """Write progress and stay alive: every finished section extends the lease."""
    document.progress = words
    _mine(document).update(progress=words, sections_done=done, lease_until=_lease())


def _end(document: Document, **changes: object) -> None:
    """Record the end, unless another worker took the document over meanwhile."""
    _mine(document).update(lease_until=None, **changes)


def _mine(document: Document) -> "object":
    return Document.objects.filter(pk=document.pk, state=State.RUNNING, attempts=document.attempts)
