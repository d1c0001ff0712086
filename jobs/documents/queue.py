"""Making one claimed document, and recording how it ended."""

import logging
import time

from django.conf import settings
from django.db.models.functions import Now

from jobs.documents.leases import State, lease, mine
from jobs.documents.models import Document
from jobs.documents.packet import RenderError, build

log = logging.getLogger(__name__)
MOST_ATTEMPTS = 5
TELL_SECONDS = 0.3
PAUSE_SECONDS = settings.CELERY_TASK_SOFT_TIME_LIMIT / 2


class LostError(Exception):
    """Another worker took the document over, because this one was silent for too long."""


class PauseError(Exception):
    """The task's time is nearly over. What is finished is kept; another task goes on."""


class _Teller:
    """Writes progress to the row and stays alive by it; not more often than anybody can read."""

    def __init__(self, document: Document) -> None:
        self.document, self.told_at = document, 0.0
        self.began, self.sections = time.monotonic(), 0

    def __call__(self, done: int, words: str) -> None:
        self.document.progress = words
        self.sections += 1
        if self.sections > 1 and time.monotonic() - self.began > PAUSE_SECONDS:
            raise PauseError
        if time.monotonic() - self.told_at < TELL_SECONDS:
            return
        self.told_at = time.monotonic()
        told = mine(self.document).update(progress=words, sections_done=done, lease_until=lease())
        if not told:
            raise LostError


def make_document(document: Document) -> None:
    """Render a claimed document and record how it ended."""
    if document.attempts > MOST_ATTEMPTS:
        sentence = f"{document.progress}: the worker stopped {MOST_ATTEMPTS} times at it."
        _end(document, state=State.FAILED, error=sentence)
        return
    try:
        made = build(document, tell=_Teller(document))
    except LostError:
        log.warning("Document %s was taken over by another worker", document.pk)
    except PauseError:
        _end(document, state=State.QUEUED, attempts=0)  # it got further, so it is no failed attempt
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


def _end(document: Document, **changes: object) -> None:
    """Record the end, unless another worker took the document over meanwhile."""
    if mine(document).update(lease_until=None, **changes):
        document.work.all().delete()
