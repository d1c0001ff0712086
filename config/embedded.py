"""Where the embedded services keep their files: one secret, one Redis socket. No Django here."""

import ctypes
import hashlib
import os
import secrets
import signal
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path

PR_SET_PDEATHSIG = 1  # from the kernel's prctl.h; Python has no name for it

# A Unix socket address holds about 107 bytes; a deep folder would not fit.
LONGEST_SOCKET_PATH = 100


def local_secret(data_dir: Path) -> str:
    """The installation's secret key, made on first use and readable by its owner only."""
    path = data_dir / "secret_key"
    if not path.exists():
        # Written whole under another name first: two processes may start at the same moment.
        draft = data_dir / f"secret_key.{os.getpid()}"
        with os.fdopen(os.open(draft, os.O_WRONLY | os.O_CREAT, 0o600), "w") as file:
            file.write(secrets.token_urlsafe(50))
        with suppress(FileExistsError):
            os.link(draft, path)
        draft.unlink()
    return path.read_text().strip()


def redis_socket(data_dir: Path) -> Path:
    """The embedded Redis's socket: in the data folder, or elsewhere if the path is too long."""
    path = data_dir / "redis" / "r.sock"
    if len(str(path)) <= LONGEST_SOCKET_PATH:
        return path
    short = hashlib.sha256(str(data_dir).encode()).hexdigest()[:12]
    return Path(tempfile.gettempdir()) / f"upfit-{os.getuid()}-{short}" / "r.sock"


def die_with_parent(parent: int) -> None:
    """End this process when `parent`, its parent's process number, ends, however it ended.

    Without it a killed supervisor or worker would leave children that still hold the port. Linux
    has this in the kernel; elsewhere a thread looks every half second. The number is the caller's:
    a child that asked for it here could already have lost its parent and would wait for ever.
    """
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != parent:  # it died before we asked
            os._exit(1)
    else:
        threading.Thread(target=_exit_without, args=(parent,), daemon=True).start()


def _exit_without(parent: int) -> None:
    while os.getppid() == parent:
        time.sleep(0.5)
    os._exit(1)
