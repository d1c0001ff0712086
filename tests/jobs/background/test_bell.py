"""The doorbell never fails a request, and never keeps a person waiting twice."""

import time

import pytest
from django.db import transaction

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
