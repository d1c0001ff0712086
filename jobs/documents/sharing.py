"""Rendering the missing sections of one document with every worker process that is free."""

import logging
import time
from collections.abc import Callable, Mapping

from celery.exceptions import SoftTimeLimitExceeded

from jobs.background.bell import ring
from jobs.documents.leases import claim_work
from jobs.documents.models import DRAIN, Document, SectionWork
from jobs.documents.render import RenderError
from jobs.documents.sections import Section, make, prepare, words

log = logging.getLogger(__name__)
MOST_HELPERS = 3
MOST_ATTEMPTS = 3
A_MOMENT = 0.02
HELP_SECONDS = 20  # then a fresh task goes on, so that no task runs into its time limit


def make_missing(
    document: Document, missing: Mapping[int, Section], *, tell: Callable[[int, str], None]
) -> None:
    """Render the missing sections, heaviest first. Returns when all of them are in the cache."""
    done = len(document.context) - len(missing)
    if len(missing) == 1:
        for section in missing.values():
            tell(done, section.words)
            make(section)
        return
    document.work.all().delete()
    SectionWork.objects.bulk_create(
        SectionWork(document=document, number=number, weight=section.weight)
        for number, section in missing.items()
    )
    for _ in range(min(len(missing) - 1, MOST_HELPERS)):
        ring(DRAIN)
    _work_off(document, missing, tell)


def _work_off(
    document: Document, missing: Mapping[int, Section], tell: Callable[[int, str], None]
) -> None:
    """Take sections until none is left; then wait for those that helpers still hold."""
    while True:
        for error in document.work.exclude(error="").values_list("error", flat=True)[:1]:
            raise RenderError(error)
        left = document.work.count()
        if not left:
            return
        work = claim_work(document)
        if work is None:
            time.sleep(A_MOMENT)
            continue
        tell(len(document.context) - left, words(document, work.number))
        _give_up_after_crashes(document, work)
        make(missing[work.number])
        work.delete()


def _give_up_after_crashes(document: Document, work: SectionWork) -> None:
    if work.attempts > MOST_ATTEMPTS:
        raise RenderError(
            f"{words(document, work.number)}: the worker stopped {MOST_ATTEMPTS} times at it."
        )


def help_out() -> None:
    """Render sections of documents that other workers have begun, until there are none."""
    began, document = time.monotonic(), None
    while work := claim_work():
        if document is None or document.pk != work.document_id:
            document = work.document  # with all its data, so not once a section
        try:
            _give_up_after_crashes(document, work)
            make(prepare(document, work.number))
        except RenderError as error:
            SectionWork.objects.filter(pk=work.pk).update(error=str(error))
        except SoftTimeLimitExceeded:
            SectionWork.objects.filter(pk=work.pk).update(lease_until=None)
            raise
        except Exception as error:  # the document's own worker decides what to tell people
            log.exception("%s could not be rendered", work)
            sentence = f"{words(document, work.number)}: {type(error).__name__}."
            SectionWork.objects.filter(pk=work.pk).update(error=sentence)
        else:
            work.delete()
        if time.monotonic() - began > HELP_SECONDS:
            ring(DRAIN)
            return
