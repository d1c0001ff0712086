"""Background work on documents. Messages carry no ids: the worker looks at the table."""

from pathlib import Path

from celery import shared_task
from django.conf import settings

from jobs.background.bell import ring
from jobs.background.files import clear_half_written
from jobs.documents.cache import clear_old_sections
from jobs.documents.leases import claim_document, waiting, waiting_work
from jobs.documents.models import DRAIN, Document, SectionWork
from jobs.documents.queue import make_document
from jobs.documents.sharing import help_out


@shared_task(name=DRAIN, ignore_result=True)
def drain_documents() -> None:
    """Make one waiting document, or help with one; ring again when more are left."""
    document = claim_document()
    if document is None:
        help_out()
        return
    make_document(document)
    if Document.objects.filter(waiting()).exists():
        ring(DRAIN)


@shared_task(name="jobs.sweep_documents", ignore_result=True)
def sweep_documents() -> None:
    """Ring when work waits: for a bell nobody heard, or a worker that died. Tidy the folders."""
    if (
        Document.objects.filter(waiting()).exists()
        or SectionWork.objects.filter(waiting_work()).exists()
    ):
        ring(DRAIN)
    clear_old_sections()
    documents = Path(settings.DOCUMENT_DIR)
    clear_half_written(documents, documents / "sections")
