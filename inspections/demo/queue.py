"""Working off the background queue in this process: the same tasks, without a broker."""

from django.db.models import Q

from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents
from jobs.notices.models import Notice
from jobs.notices.post import waiting
from jobs.notices.tasks import drain_notices
from jobs.photos.models import Photo
from jobs.photos.tasks import drain_photos

WAITING = Q(state__in=[Document.State.QUEUED, Document.State.RUNNING])


def work_off() -> None:
    """Make every waiting preview and document. Returns when none is left, or none gets further."""
    while Photo.objects.filter(preview=Photo.Preview.QUEUED).exists():
        drain_photos()
    # One that fails is tried a few times and then says so; one of another worker is waited for.
    while Document.objects.filter(WAITING).exists():
        drain_documents()


def send_all() -> None:
    """Hand over every e-mail whose time has come."""
    while Notice.objects.filter(waiting()).exists():
        drain_notices()
