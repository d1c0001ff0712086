"""Where the embedded services keep their files: one secret, one Redis socket. No Django here."""

import hashlib
import os
import secrets
import tempfile
from pathlib import Path

# A Unix socket address holds about 107 bytes; a deep folder would not fit.
LONGEST_SOCKET_PATH = 100


def local_secret(data_dir: Path) -> str:
    """The installation's secret key, made on first use and readable by its owner only."""
    path = data_dir / "secret_key"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text().strip()
    with os.fdopen(handle, "w") as file:
        key = secrets.token_urlsafe(50)
        file.write(key)
    return key


def redis_socket(data_dir: Path) -> Path:
    """The socket of the embedded Redis, in the data folder or, if that path is too long, beside it."""
    path = data_dir / "redis" / "r.sock"
    if len(str(path)) <= LONGEST_SOCKET_PATH:
        return path
    short = hashlib.sha256(str(data_dir).encode()).hexdigest()[:12]
    return Path(tempfile.gettempdir()) / f"upfit-{os.getuid()}-{short}" / "r.sock"
