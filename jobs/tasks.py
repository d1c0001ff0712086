"""Celery finds tasks here; they live in their slices. Below: what a worker does when it starts."""

from typing import Any

from celery.signals import worker_init, worker_ready
from django.conf import settings

from jobs.background.bell import ring
from jobs.build_sheet.drafting import working_out
from jobs.build_sheet.drafting.tasks import drain_logic, sweep_logic
from jobs.build_sheet.drafting.working_out import DRAIN as DRAIN_LOGIC
from jobs.documents import leases
from jobs.documents.models import DRAIN as DRAIN_DOCUMENTS
from jobs.documents.render import warm_up
from jobs.documents.tasks import drain_documents, sweep_documents
from jobs.notices import post
from jobs.notices.post import DRAIN as DRAIN_NOTICES
from jobs.notices.tasks import drain_notices, sweep_notices
from jobs.photos import previews
from jobs.photos.previews import DRAIN as DRAIN_PHOTOS
from jobs.photos.tasks import drain_photos, sweep_photos

__all__ = [
    "drain_documents",
    "drain_logic",
    "drain_notices",
    "drain_photos",
    "sweep_documents",
    "sweep_logic",
    "sweep_notices",
    "sweep_photos",
]


@worker_init.connect
def prepare_before_forking(**_: Any) -> None:
    """Fonts and styles are loaded once and shared by the worker's child processes."""
    warm_up()


@worker_ready.connect
def take_over(**_: Any) -> None:
    """Go on where a killed worker stopped, without waiting for its claims to run out.

    Only a worker that is sure to be alone may do this: the one beside the embedded broker.
    """
    if settings.SOLE_WORKER:
        leases.release_all()
        previews.release_all()
        working_out.release_all()
        post.release_all()
    ring(DRAIN_DOCUMENTS)
    ring(DRAIN_PHOTOS)
    ring(DRAIN_LOGIC)
    ring(DRAIN_NOTICES)
