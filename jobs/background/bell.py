"""The doorbell: tells a worker that rows wait. Losing it costs a sweep interval, nothing else."""

import logging
import time

from celery import current_app
from django.db import transaction
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)
FRESH_SECONDS = 600
QUIET_SECONDS = 10
_quiet_until = 0.0


def ring_when_saved(task: str) -> None:
    """Ring after the running transaction is committed, whatever else hangs on that commit."""
    transaction.on_commit(lambda: ring(task), robust=True)


def ring(task: str) -> None:
    """Ask a worker to look at its table. A broker that is away is no reason to fail a request.

    The task is named, not imported: the web process must not load what only the worker needs.
    Each failed try costs the person waiting up to a few seconds, so it is not repeated at once.
    """
    global _quiet_until
    if time.monotonic() < _quiet_until:
        return
    try:
        current_app.send_task(task, expires=FRESH_SECONDS)
    except (OperationalError, OSError) as error:
        _quiet_until = time.monotonic() + QUIET_SECONDS
        log.warning("The broker did not answer (%s); the sweep will ring %s.", error, task)
