"""A real shop in its own processes and data folder, to be killed and looked at from outside."""

import http.client
import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit, urlunsplit

import psutil
import psycopg
import pytest

from config.redis_server import prepare_redis, redis_answers, stop_redis

PROJECT = Path(__file__).resolve().parent.parent


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_until(claim: Callable[[], object], *, seconds: float, what: str) -> float:
    """Seconds it took until the claim came true; fails the test if it does not in time."""
    began = time.monotonic()
    while not claim():
        if time.monotonic() - began > seconds:
            raise AssertionError(f"Not within {seconds:.0f} s: {what}")
        time.sleep(0.05)
    return time.monotonic() - began


class RunningShop:
    """`manage.py up` with everything it starts."""

    def __init__(self, data_dir: Path, **environment: str) -> None:
        self.data_dir = data_dir
        self.port = free_port()
        self.log = data_dir / "up.log"
        self.up: psutil.Process | None = None
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO_", "PYTEST_"))}
        self.environment = {
            **kept,
            "DATA_DIR": str(data_dir),
            "PORT": str(self.port),
            "SWEEP_SECONDS": "2",
            **environment,
        }
        self.environment.pop("PUBLIC_URL", None)
        if address := os.environ.get("DATABASE_URL"):
            self.environment["DATABASE_URL"] = _database_of_its_own(address)

    # --- commands ---

    def command(self, *words: str, timeout: float = 120) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=PROJECT,
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=timeout,
        )

    def python(self, code: str) -> str:
        """Run code inside the shop's own settings and return what it printed."""
        done = self.command("shell", "--no-imports", "--command", code)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    # --- life ---

    def start(self) -> float:
        """Start it and return the seconds until the first answer."""
        with self.log.open("ab") as log:
            process = psutil.Popen(
                [sys.executable, "manage.py", "up"],
                cwd=PROJECT,
                env=self.environment,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self.up = process
        try:
            return wait_until(self.answers, seconds=60, what="the web server answers")
        except AssertionError as error:
            raise AssertionError(f"{error}\n{self.log.read_text()[-3000:]}") from None

    def wait_for_worker(self) -> None:
        """Until the worker has its two children."""
        wait_until(
            lambda: len(self.service("celery worker").children()) == 2,
            seconds=30,
            what="a full worker",
        )

    def stop(self) -> int:
        """Stop it politely and return the exit code."""
        assert self.up is not None
        self.up.terminate()
        return int(self.up.wait(15))

    def end(self) -> None:
        """Leave nothing behind, whatever the test did."""
        for process in (*self.processes(), *([self.up] if self.up else [])):
            kill(process)

    def answers(self, path: str = "/healthz") -> bool:
        try:
            return self.get(path) == 200
        except (OSError, http.client.HTTPException):
            return False

    def get(self, path: str) -> int:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            connection.request("GET", path)
            return connection.getresponse().status
        finally:
            connection.close()

    # --- processes ---

    def processes(self) -> list[psutil.Process]:
        """Every live process of this data folder but the supervisor, orphans included."""
        found = [p for p in psutil.process_iter() if self._owns(p) and is_alive(p)]
        return [p for p in found if self.up is None or p.pid != self.up.pid]

    def _owns(self, process: psutil.Process) -> bool:
        try:
            # Redis writes its title over its environment, so the socket in the title counts too.
            if process.environ().get("DATA_DIR") == str(self.data_dir):
                return True
            return str(self.data_dir) in " ".join(process.cmdline())
        except psutil.Error:
            return False

    def service(self, word: str) -> psutil.Process:
        """The leading process of a service: redis, celery worker, celery beat or gunicorn."""
        assert self.up is not None
        leaders = [p for p in self.up.children() if word in " ".join(p.cmdline())]
        assert len(leaders) == 1, f"{word}: {leaders}"
        return leaders[0]

    def service_came_back(self, word: str, old: psutil.Process) -> Callable[[], bool]:
        def came_back() -> bool:
            assert self.up is not None
            now = [p for p in self.up.children() if _runs(p, word)]
            return len(now) == 1 and now[0].pid != old.pid

        return came_back


@contextmanager
def started_redis(socket_path: Path) -> Iterator[Path]:
    """A broker alone, for tests that need no worker."""
    command = prepare_redis(socket_path=socket_path, search_path=os.environ["PATH"])
    process = subprocess.Popen(command)
    wait_until(lambda: redis_answers(socket_path), seconds=10, what="redis-server answers")
    try:
        yield socket_path
    finally:
        stop_redis(socket_path)
        process.wait(10)


def _runs(process: psutil.Process, word: str) -> bool:
    try:
        return word in " ".join(process.cmdline()) and is_alive(process)
    except psutil.Error:
        return False


def is_alive(process: psutil.Process) -> bool:
    try:
        return process.is_running() and process.status() != psutil.STATUS_ZOMBIE
    except psutil.Error:
        return False


def kill(process: psutil.Process) -> None:
    try:
        process.send_signal(signal.SIGKILL)
        process.wait(5)
    except psutil.Error:
        pass


def _database_of_its_own(address: str) -> str:
    name = f"running_{secrets.token_hex(4)}"
    with psycopg.connect(address, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return urlunsplit(urlsplit(address)._replace(path=f"/{name}"))


def prepared(template: Path, data_dir: Path, **environment: str) -> RunningShop:
    """A shop with tables and static files, copied from a template made on first use."""
    if not template.exists():
        template.mkdir()
        first = RunningShop(template)
        first.environment.pop("DATABASE_URL", None)
        done = first.command("prepare", "--empty")
        assert done.returncode == 0, done.stderr
    shutil.copytree(template, data_dir, dirs_exist_ok=True)
    shop = RunningShop(data_dir, **environment)
    if "DATABASE_URL" in shop.environment:
        done = shop.command("migrate", "--verbosity=0")
        assert done.returncode == 0, done.stderr
    return shop


@pytest.fixture(scope="session")
def prepared_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the template of `prepared` is kept for all tests of this run."""
    return tmp_path_factory.mktemp("template") / "data"


@pytest.fixture
def idle_shop(prepared_folder: Path, tmp_path: Path) -> Iterator[RunningShop]:
    """A shop of the test's own, with its tables and nothing started yet."""
    shop = prepared(prepared_folder, tmp_path / "data")
    try:
        yield shop
    finally:
        shop.end()


@pytest.fixture
def running(idle_shop: RunningShop) -> RunningShop:
    """The same, started."""
    idle_shop.start()
    return idle_shop
