"""The doorbell never fails a request, and never keeps a person waiting twice."""

import time

import pytest
from django.db import transaction

import config.celery
from jobs.background import bell
from tests.services import app

TASK = "jobs.drain_documents"


@pytest.fixture(autouse=True)
def loud(monkeypatch) -> None:
    monkeypatch.setattr(bell, "_quiet_until", 0.0)


def queued() -> int:
    with app.connection_for_read() as connection:
        return connection.default_channel.client.llen("celery")


def test_ring_reaches_the_broker(broker: str) -> None:
    bell.ring(TASK)
    assert queued() == 1


def test_ring_without_a_broker_only_warns(caplog) -> None:
    began = time.monotonic()
    bell.ring(TASK)
    assert time.monotonic() - began < 5
    assert "the sweep will ring jobs.drain_documents" in caplog.text


def test_broker_that_is_away_is_not_asked_again_at_once(caplog) -> None:
    bell.ring(TASK)
    caplog.clear()
    began = time.monotonic()
    bell.ring(TASK)
    assert time.monotonic() - began < 0.05
    assert caplog.text == ""


def test_ring_when_saved_waits_for_the_commit(append_only, broker: str) -> None:
    with transaction.atomic():
        bell.ring_when_saved(TASK)
        assert queued() == 0
    assert queued() == 1


def test_ring_when_saved_is_silent_after_a_rollback(append_only, broker: str) -> None:
    with pytest.raises(RuntimeError), transaction.atomic():
        bell.ring_when_saved(TASK)
        raise RuntimeError
    assert queued() == 0


def test_bell_does_not_load_the_renderer() -> None:
    """Web processes ring; only workers may load what rendering needs."""
    import subprocess
    import sys

    code = (
        "import sys, django, config.celery; django.setup();"
        "import config.urls, jobs.documents.actions, jobs.documents.responses;"
        "print('weasyprint' in sys.modules)"
    )
    environment = {"DJANGO_SETTINGS_MODULE": "config.settings", "PATH": ""}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=environment
    )
    assert done.stdout.strip() == "False", done.stderr
    assert config.celery.app is app
