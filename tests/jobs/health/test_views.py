"""GET /readyz: what it says, and to whom."""

import errno
import shutil
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection, transaction
from django.urls import reverse
from django.utils import timezone

from jobs.health.views import server_error
from jobs.models import Document
from tests.running import started_redis

ADDRESS = "/readyz"


@pytest.fixture(scope="module")
def broker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    with started_redis(tmp_path_factory.mktemp("r") / "r.sock") as socket_path:
        yield socket_path


@pytest.fixture(autouse=True)
def with_broker(settings, broker: Path) -> None:
    settings.CELERY_BROKER_URL = f"redis+socket://{broker}"


def waiting_document(minutes: float) -> Document:
    document = Document.objects.create(
        kind="quote", title="Quote", file_name="q.pdf", fingerprint=f"{minutes}", context=[]
    )
    made = timezone.now() - timedelta(minutes=minutes)
    Document.objects.filter(pk=document.pk).update(created_at=made)
    return document


def test_readyz_tells_a_stranger_only_that_it_is_ready(client, shop) -> None:
    response = client.get(reverse("jobs:readyz"))
    assert response.status_code == 200
    assert response.json() == {"ready": True}
    assert "no-store" in response["Cache-Control"]


def test_readyz_tells_a_manager_each_probe(client, manager) -> None:
    client.force_login(manager)
    assert client.get(ADDRESS).json()["probes"] == {
        "database": "ok",
        "disk": "ok",
        "broker": "ok",
        "documents": "ok",
    }


def test_readyz_tells_a_technician_no_details(client, technician) -> None:
    client.force_login(technician)
    assert client.get(ADDRESS).json() == {"ready": True}


def test_readyz_is_ready_before_the_first_run(client, db) -> None:
    assert client.get(ADDRESS).status_code == 200


def test_readyz_refuses_a_post(client, shop) -> None:
    assert client.post(ADDRESS).status_code == 405


def test_readyz_misses_the_broker(client, manager, settings, tmp_path: Path) -> None:
    settings.CELERY_BROKER_URL = f"redis+socket://{tmp_path}/nobody.sock"
    client.force_login(manager)
    response = client.get(ADDRESS)
    assert response.status_code == 503
    assert response.json()["probes"]["broker"].startswith("The broker does not answer")


def test_readyz_hides_reasons_from_a_stranger(client, shop, settings, tmp_path: Path) -> None:
    settings.CELERY_BROKER_URL = f"redis+socket://{tmp_path}/nobody.sock"
    assert client.get(ADDRESS).json() == {"ready": False}


@pytest.mark.parametrize(("free", "status"), [(999_999_999, 503), (1_000_000_000, 200)])
def test_readyz_wants_a_gigabyte(client, manager, monkeypatch, free: int, status: int) -> None:
    usage = shutil.disk_usage("/")
    monkeypatch.setattr(shutil, "disk_usage", lambda path: usage._replace(free=free))
    client.force_login(manager)
    response = client.get(ADDRESS)
    assert response.status_code == status
    assert ("1 GB or more" in response.json()["probes"]["disk"]) is (status == 503)


@pytest.mark.parametrize(("minutes", "status"), [(4.8, 200), (5.2, 503)])
def test_readyz_misses_a_worker(client, manager, minutes: float, status: int) -> None:
    waiting_document(minutes)
    client.force_login(manager)
    assert client.get(ADDRESS).status_code == status


def test_readyz_lets_a_worker_finish(client, manager) -> None:
    document = waiting_document(30)
    Document.objects.filter(pk=document.pk).update(
        state=Document.State.RUNNING, lease_until=timezone.now() + timedelta(minutes=1)
    )
    client.force_login(manager)
    assert client.get(ADDRESS).status_code == 200


def test_readyz_notices_a_database_that_refuses_writes(client, manager) -> None:
    client.force_login(manager)
    refuse, accept = {
        "sqlite": ("PRAGMA query_only = ON", "PRAGMA query_only = OFF"),
        "postgresql": ("SET TRANSACTION READ ONLY", "SELECT 1"),
    }[connection.vendor]
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(refuse)
        response = client.get(ADDRESS)
        cursor.execute(accept)
        transaction.set_rollback(True)  # PostgreSQL ends the read-only mode with the savepoint
    assert response.status_code == 503
    assert response.json() == {"ready": False}


@pytest.mark.skipif(connection.vendor != "sqlite", reason="refuses writes by a switch of SQLite")
def test_a_database_that_cannot_write_now_asks_to_send_it_again(client, manager) -> None:
    client.force_login(manager)
    client.raise_request_exception = False
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA query_only = ON")
        response = client.post("/agencies/new/", {"name": "Harbour Rescue"})
        cursor.execute("PRAGMA query_only = OFF")
    assert response.status_code == 503
    assert response.headers["Retry-After"] == "30"
    assert response.headers["Cache-Control"] == "no-store"
    assert "The shop cannot save right now" in response.content.decode()


@pytest.mark.parametrize(
    ("problem", "status"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), 503),
        (OSError(errno.ENOENT, "No such file"), 500),
        (ValueError("a mistake"), 500),
    ],
)
def test_server_error_tells_a_full_disk_from_a_mistake(rf, problem, status) -> None:
    try:
        raise problem
    except Exception:
        assert server_error(rf.get("/")).status_code == status
