"""Background work on documents. Messages carry no ids: the worker looks at the table."""

from celery import shared_task

from jobs.background.bell import ring
from jobs.documents.models import DRAIN, Document
from jobs.documents.queue import claim_document, make_document, waiting


@shared_task(name=DRAIN, ignore_result=True)
def drain_documents() -> None:
    """Make one waiting document; ring again when more are left."""
    document = claim_document()
    if document is None:
        return
    make_document(document)
    sweep_documents()


@shared_task(name="jobs.sweep_documents", ignore_result=True)
def sweep_documents() -> None:
    """Ring when documents wait: for a bell nobody heard, or a worker that died."""
    if Document.objects.filter(waiting()).exists():
        ring(DRAIN)
