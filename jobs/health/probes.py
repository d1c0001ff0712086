"""Is this installation able to work? Each probe answers with None, or with one sentence."""

import shutil
from collections.abc import Callable
from datetime import timedelta

from django.conf import settings
from django.db import DatabaseError, transaction
from django.db.models import F
from django.db.models.functions import Now
from kombu import Connection
from kombu.exceptions import KombuError

from jobs.documents.leases import waiting
from jobs.documents.models import Document
from jobs.people.models import Shop

LEAST_FREE_BYTES = 1_000_000_000
LONGEST_WAIT = timedelta(minutes=5)


def database_writes() -> str | None:
    """Takes the write lock and writes, then takes it back, so that asking often costs nothing."""
    try:
        with transaction.atomic():
            Shop.objects.update(id=F("id"))
            transaction.set_rollback(True)
    except DatabaseError as error:
        return f"The database does not accept writes: {error}."
    return None


def disk_has_room() -> str | None:
    free = shutil.disk_usage(settings.DATA_DIR).free
    if free < LEAST_FREE_BYTES:
        return (
            f"{free / 1e9:.2f} GB are free for {settings.DATA_DIR}; "
            f"it must be {LEAST_FREE_BYTES / 1e9:.0f} GB or more."
        )
    return None


def broker_answers() -> str | None:
    try:
        with Connection(
            settings.CELERY_BROKER_URL,
            connect_timeout=1,
            transport_options=settings.CELERY_BROKER_TRANSPORT_OPTIONS,
        ) as connection:
            connection.ensure_connection(max_retries=1, interval_start=0, interval_step=0)
    except (KombuError, OSError) as error:
        return f"The broker does not answer: {error}."
    return None


def documents_move() -> str | None:
    """Documents that nobody works on, for longer than any worker needs to come round."""
    stuck = Document.objects.filter(waiting(), created_at__lt=Now() - LONGEST_WAIT).count()
    if stuck:
        minutes = LONGEST_WAIT.seconds // 60
        return f"{stuck} documents have waited for a worker for more than {minutes} minutes."
    return None


PROBES: dict[str, Callable[[], str | None]] = {
    "database": database_writes,
    "disk": disk_has_room,
    "broker": broker_answers,
    "documents": documents_move,
}


def troubles() -> dict[str, str]:
    """What is wrong, by probe. Nothing is asked after a database that does not answer."""
    found: dict[str, str] = {}
    for name, probe in PROBES.items():
        if name == "documents" and "database" in found:
            continue
        if sentence := probe():
            found[name] = sentence
    return found
