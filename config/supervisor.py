"""One command that runs everything: broker, web and worker, restarted when they die. No Django.

Only a supervisor that holds the lock file may touch the embedded services of a data folder. Each
service leads its own process group, so that ending it ends its children too, and so that Ctrl-C
in a terminal reaches the supervisor alone, which then stops the services in order.
"""

import errno
import fcntl
import http.client
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import IO

from config.embedded import die_with_parent
from config.redis_server import prepare_redis, redis_answers

PROJECT = Path(__file__).resolve().parent.parent
STEADY_SECONDS = 10.0  # a service that ran this long starts again at once
LONGEST_PAUSE = 5.0
FIRST_ANSWER_SECONDS = 60.0


class CannotStart(Exception):
    """Why the shop cannot be served now, as a sentence for the person who started it."""


@dataclass
class Service:
    """One long-running process that must stay up."""

    name: str
    command: Sequence[str]
    environment: Mapping[str, str]
    patience_seconds: float  # how long a polite stop may take before it is forced
    process: subprocess.Popen[bytes] | None = None
    started_at: float = 0.0
    failures: int = 0
    start_after: float = 0.0

    def start(self) -> None:
        self.started_at = time.monotonic()
        self.process = subprocess.Popen(
            self.command,
            cwd=PROJECT,
            env=dict(self.environment),
            stdin=subprocess.DEVNULL,
            start_new_session=True,
            # This process has one thread, so running Python between fork and exec is safe.
            preexec_fn=partial(die_with_parent, os.getpid()) if sys.platform == "linux" else None,
        )

    def watch(self, say: Callable[[str], None]) -> None:
        """Start it again when it has ended, later each time it fails early."""
        now = time.monotonic()
        if self.process is not None and self.process.poll() is not None:
            code = self.process.returncode
            self.kill_group()
            self.process = None
            early = now - self.started_at < STEADY_SECONDS
            self.failures = self.failures + 1 if early else 1
            pause = 0.0 if self.failures == 1 else min(2.0 ** (self.failures - 2), LONGEST_PAUSE)
            self.start_after = now + pause
            say(f"{self.name} {_ending(code)}; starting it again in {pause:.0f} s")
        if self.process is None and now >= self.start_after:
            self.start()

    def stop(self) -> None:
        """Ask politely, wait, then end the whole group."""
        if self.process is None:
            return
        self.process.terminate()
        with suppress(subprocess.TimeoutExpired):
            self.process.wait(self.patience_seconds)
        self.kill_group()
        self.process.wait()

    def kill_group(self) -> None:
        if self.process is not None:
            with suppress(ProcessLookupError, PermissionError):  # nobody is left in it
                os.killpg(self.process.pid, signal.SIGKILL)


def _ending(code: int) -> str:
    return f"was ended by {signal.Signals(-code).name}" if code < 0 else f"stopped with code {code}"


def say(sentence: str) -> None:
    print(sentence, flush=True)


def lock(data_dir: Path) -> IO[str]:
    """Hold the data folder's lock for as long as the returned file stays open."""
    file = (data_dir / "up.lock").open("a+")
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        file.seek(0)
        holder = file.read().strip()
        file.close()
        raise CannotStart(
            f"The shop is already being served from {data_dir} (process {holder}). "
            "Stop that one first, or set DATA_DIR to another folder."
        ) from None
    file.truncate(0)
    file.write(str(os.getpid()))
    file.flush()
    return file


def require_free_port(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as problem:
            if problem.errno == errno.EADDRINUSE:
                reason = "is in use by another program. Choose another one, for example PORT=8001"
            else:
                reason = f"cannot be opened on {host}: {problem.strerror}. Check PORT and BIND"
            raise CannotStart(f"Port {port} {reason}.") from None


def celery_command(*words: str) -> list[str]:
    return [
        *(sys.executable, "-m", "celery", "--quiet", "--app=config.celery"),
        *words,
        "--loglevel=WARNING",
    ]


def worker_command() -> list[str]:
    """One worker and two children that do the work."""
    return celery_command("worker", "--concurrency=2", "--without-gossip", "--without-mingle")


def clock_command() -> list[str]:
    """Calls for the sweeps at their times."""
    return celery_command("beat")


def services(*, data_dir: Path, redis_socket: Path | None, host: str, port: int) -> list[Service]:
    """What to run, first to start first. Without a socket the broker is somebody else's."""
    environment = {
        **os.environ,
        "SUPERVISED": str(os.getpid()),
        "DATA_DIR": str(data_dir),
        "BIND": host,
        "PORT": str(port),
    }
    # Apple's libraries refuse to run in a forked child otherwise; the worker forks by design.
    environment.setdefault("OBJC_DISABLE_INITIALIZE_FORK_SAFETY", "YES")
    python = [sys.executable, "-m"]
    found = []
    if redis_socket is not None:
        command = prepare_redis(
            socket_path=redis_socket, search_path=os.environ.get("PATH", os.defpath)
        )
        found.append(Service("redis", command, environment, 2.0))
    found.append(Service("worker", worker_command(), environment, 3.0))
    found.append(Service("clock", clock_command(), environment, 0.5))
    web = [*python, "gunicorn", "--config=python:config.web", "config.wsgi"]
    found.append(Service("web", web, environment, 4.0))
    return found


def wait_for_redis(socket_path: Path) -> None:
    for _ in range(100):
        if redis_answers(socket_path):
            return
        time.sleep(0.05)
    raise CannotStart(
        f"redis-server does not answer; see {socket_path.parent / 'redis.log'}. "
        f"The folder {socket_path.parent} holds no work, so it may be deleted."
    )


def web_answers(host: str, port: int) -> bool:
    connection = http.client.HTTPConnection(host, port, timeout=5)
    try:
        connection.request("GET", "/healthz")
        connection.getresponse()
    except (OSError, http.client.HTTPException):
        return False
    else:
        return True
    finally:
        connection.close()


def run(*, data_dir: Path, redis_socket: Path | None, host: str, port: int, address: str) -> None:
    """Serve until told to stop. Raises CannotStart before anything runs if it cannot."""
    local = "127.0.0.1" if host == "0.0.0.0" else host  # noqa: S104 (compared, not bound)
    held = lock(data_dir)
    require_free_port(host, port)
    told: list[int] = []
    for number in (signal.SIGTERM, signal.SIGINT, signal.SIGHUP):
        if signal.getsignal(number) is not signal.SIG_IGN:  # nohup asks to outlive the terminal
            signal.signal(number, lambda received, _frame: told.append(received))
    running = services(data_dir=data_dir, redis_socket=redis_socket, host=host, port=port)
    try:
        _serve(running, told, redis_socket, local, port, address)
    finally:
        for service in reversed(running):
            service.stop()
        held.close()
    say("Stopped.")


def _serve(
    running: Sequence[Service],
    told: Sequence[int],
    redis_socket: Path | None,
    host: str,
    port: int,
    address: str,
) -> None:
    began, answered = time.monotonic(), False
    for service in running:
        service.start()
        if service.name == "redis" and redis_socket is not None:
            wait_for_redis(redis_socket)
    while not told:
        for service in running:
            service.watch(say)
        if not answered and web_answers(host, port):
            answered = True
            say(f"The shop is open at {address} (Ctrl-C stops it).")
        elif not answered and time.monotonic() - began > FIRST_ANSWER_SECONDS:
            answered = True
            say(f"The web server does not answer on port {port} yet; its messages are above.")
        time.sleep(0.2)
