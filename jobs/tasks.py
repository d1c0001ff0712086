"""Celery finds tasks here; they live in their slices."""

import os
from datetime import timedelta
from typing import Any

from celery.signals import celeryd_after_setup
from django.conf import settings
from django.db import connections
from django.db.models.functions import Now

from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents, sweep_documents
from jobs.photos.models import Photo
from jobs.photos.tasks import drain_photos, sweep_photos

__all__ = ["drain_documents", "drain_photos", "sweep_documents", "sweep_photos"]


@celeryd_after_setup.connect
def end_old_leases(**_: Any) -> None:
    """When the only worker of this installation starts, nobody works on what its rows say.

    So work that a killed worker left is taken up at once and not when its lease has run out.
    """
    if not os.environ.get("SUPERVISED") or settings.REDIS_SOCKET is None:
        return
    for model in (Document, Photo):
        model.objects.filter(lease_until__gt=Now()).update(lease_until=Now() - timedelta(seconds=1))
    connections.close_all()  # the worker forks next, and a connection must not be shared
