"""Working off the background queue in this process: the same tasks, without a broker."""

from django.db.models import Q

from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents
from jobs.photos.models import Photo
from jobs.photos.tasks import drain_photos

WAITING = Q(state__in=[Document.State.QUEUED, Document.State.RUNNING])


def work_off() -> None:
    """Make every waiting preview and document. Returns when none is left to this process."""
    before = -1
    while (left := Photo.objects.filter(preview=Photo.Preview.QUEUED).count()) not in (0, before):
        before = left
        drain_photos()
    before = -1
    while (left := Document.objects.filter(WAITING).count()) not in (0, before):
        before = left
        drain_documents()
