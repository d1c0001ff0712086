"""How rows of work are claimed: by conditional update, for a limited time, by database time."""

from datetime import timedelta

from django.conf import settings
from django.db.models import F, Q, QuerySet
from django.db.models.functions import Now

from jobs.documents.models import Document, SectionWork

State = Document.State


def lease() -> object:
    return Now() + timedelta(seconds=settings.LEASE_SECONDS)


def waiting() -> Q:
    """Documents nobody works on: queued, or claimed by a worker that died."""
    return Q(state=State.QUEUED) | Q(state=State.RUNNING, lease_until__lt=Now())


def waiting_work() -> Q:
    """Sections nobody works on, of documents that are being made."""
    free = Q(lease_until__isnull=True) | Q(lease_until__lt=Now())
    return free & Q(error="", document__state=State.RUNNING)


def claim_document() -> Document | None:
    """Take the oldest waiting document, or None. Two workers never get the same one."""
    oldest = Document.objects.filter(waiting()).order_by("created_at", "id")
    for pk in oldest.values_list("pk", flat=True)[:20]:
        taken = Document.objects.filter(waiting(), pk=pk).update(
            state=State.RUNNING, lease_until=lease(), attempts=F("attempts") + 1
        )
        if taken:
            return Document.objects.get(pk=pk)
    return None


def claim_work(document: Document | None = None) -> SectionWork | None:
    """Take the heaviest waiting section, of one document or of any."""
    rows = SectionWork.objects.filter(waiting_work())
    if document is not None:
        rows = rows.filter(document=document)
    for pk in rows.values_list("pk", flat=True)[:20]:
        taken = SectionWork.objects.filter(waiting_work(), pk=pk).update(
            lease_until=lease(), attempts=F("attempts") + 1
        )
        if taken:
            return SectionWork.objects.filter(pk=pk).first()
    return None


def mine(document: Document) -> QuerySet[Document]:
    """The claimed row, as long as no other worker took it over."""
    return Document.objects.filter(pk=document.pk, state=State.RUNNING, attempts=document.attempts)


def release_all() -> None:
    """Give back everything claimed. Only for a worker that knows it is the only one, starting."""
    Document.objects.filter(state=State.RUNNING).update(state=State.QUEUED, lease_until=None)
    SectionWork.objects.exclude(lease_until=None).update(lease_until=None)
