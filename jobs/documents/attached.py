"""Files from outside that documents carry along as they are: kept by their SHA-256, never read."""

from pathlib import Path
from typing import Any

from django.conf import settings

from jobs.background.files import keep_first, sha256_of, write_temporary

CHUNK = 1024 * 1024


class AttachedError(Exception):
    """A kept file is gone or is no longer what it was. The message is a sentence."""


def attached_path(sha256: str) -> Path:
    return Path(settings.DOCUMENT_DIR) / "attached" / sha256[:2] / f"{sha256}.pdf"


def keep_attached(file: Any) -> str:
    """Write an uploaded file, forced to disk before anything names it. Returns its SHA-256."""
    file.seek(0)
    temporary, sha256 = write_temporary(Path(settings.DOCUMENT_DIR), file.chunks(CHUNK))
    temporary.chmod(0o440)
    path = attached_path(sha256)
    if not keep_first(temporary, path) and sha256_of(path) != sha256:
        raise AttachedError("This file was kept before, but that copy is damaged; tell the office.")
    return sha256


def attached_bytes(sha256: str) -> bytes:
    """The bytes, read against their name."""
    path = attached_path(sha256)
    if not path.is_file():
        raise AttachedError(f"the attached file {sha256[:12]} is missing; restore it")
    if sha256_of(path) != sha256:
        raise AttachedError(f"the attached file {sha256[:12]} was changed on disk; restore it")
    return path.read_bytes()
