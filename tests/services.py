"""A real broker and a real worker for one test, on the database the test itself uses.

    def test_x(worker, client, ...):     # the worker makes documents and previews as in the shop

The worker is another process, so its database must be one that other processes can open. On
PostgreSQL the test database is; on SQLite it is a file (tests/conftest.py). Tests that kill the web
run a whole shop instead (tests/running.py).
"""

import os
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psutil
import pytest
from django.db import connection
from kombu import pools

import config.celery
from config.supervisor import clock_command, worker_command
from tests.running import PROJECT, started_redis, wait_until

app = config.celery.app


@pytest.fixture
def shared_database(append_only) -> str:
    """The address of the test's database, for other processes."""
    name = str(connection.settings_dict["NAME"])
    if connection.vendor == "postgresql":
        return urlunsplit(urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}"))
    return f"sqlite:///{name}"


@pytest.fixture
def broker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A real redis-server; what this process queues goes there."""
    folder = tmp_path_factory.mktemp("redis")
    before = app.conf.broker_url
    with started_redis(folder / "r.sock") as socket:
        _use_broker(f"redis+socket://{socket}")
        try:
            yield app.conf.broker_url
        finally:
            _use_broker(before)


def _use_broker(address: str) -> None:
    app.conf.broker_url = app.conf.broker_read_url = app.conf.broker_write_url = address
    pools.reset()
    app._pool = app.amqp._producer_pool = None


class Worker:
    """Worker and clock as the supervisor starts them, to be killed and started again."""

    def __init__(self, environment: dict[str, str], log: Path) -> None:
        self.environment, self.log = environment, log
        self.processes: list[psutil.Popen] = []

    def start(self) -> None:
        self.processes = [self._started(worker_command()), self._started(clock_command())]

    def _started(self, command: list[str]) -> psutil.Popen:
        with self.log.open("ab") as log:
            return psutil.Popen(
                command,
                cwd=PROJECT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
            )

    def children(self) -> list[psutil.Process]:
        """The two that do the work."""
        return self.processes[0].children(recursive=True)

    def kill(self) -> None:
        """Like a power cut: no warning, no clean-up."""
        if not self.processes:
            return
        everybody = [*self.processes, *self.children()]
        for one in everybody:
            one.kill()
        psutil.wait_procs(everybody, timeout=5)
        self.processes = []

    def wait_for(self, claim: Callable[[], object], *, seconds: float = 60, what: str) -> float:
        try:
            return wait_until(claim, seconds=seconds, what=what)
        except AssertionError as error:
            raise AssertionError(f"{error}\n{self.log.read_text()[-3000:]}") from None


@pytest.fixture
def worker(shared_database: str, broker: str, tmp_path: Path, settings) -> Iterator[Worker]:
    """A running worker. Its folders are those of the test (own_folders in conftest.py)."""
    environment = {
        **{k: v for k, v in os.environ.items() if not k.startswith(("DJANGO_", "PYTEST_"))},
        "DATA_DIR": str(tmp_path),
        "DATABASE_URL": shared_database,
        "REDIS_URL": broker,
        "SOLE_WORKER": "1",
        "SWEEP_SECONDS": "1",
        "LEASE_SECONDS": "5",
    }
    settings.LEASE_SECONDS = 5
    running = Worker(environment, tmp_path / "worker.log")
    running.start()
    try:
        yield running
    finally:
        running.kill()
