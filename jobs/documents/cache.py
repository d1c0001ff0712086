"""Finished sections on disk, named by everything that decides how they look.

Losing this folder costs time, nothing else. Each file begins with the SHA-256 of the rest, so that
a damaged one is rendered again instead of printed.
"""

import hashlib
import os
from pathlib import Path

from django.conf import settings

from jobs.background.files import move_into_place, write_temporary

LARGEST_BYTES = 1024**3
DIGEST = hashlib.sha256().digest_size


def _folder() -> Path:
    return Path(settings.DOCUMENT_DIR) / "sections"


def _path(key: str) -> Path:
    return _folder() / key[:2] / key


def has_section(key: str) -> bool:
    return _path(key).is_file()


def get_section(key: str) -> bytes | None:
    """The section's PDF, or None when it was never made, was cleared away, or is damaged."""
    path = _path(key)
    try:
        data = path.read_bytes()
        os.utime(path)  # remembers what is still in use
    except FileNotFoundError:
        return None
    digest, pdf = data[:DIGEST], data[DIGEST:]
    if hashlib.sha256(pdf).digest() == digest:
        return pdf
    path.unlink(missing_ok=True)
    return None


def put_section(key: str, pdf: bytes) -> None:
    """Two workers that made the same section write the same bytes, so the last one may win."""
    temporary, _ = write_temporary(_folder(), [hashlib.sha256(pdf).digest(), pdf])
    move_into_place(temporary, _path(key))


def clear_old_sections(largest_bytes: int = LARGEST_BYTES) -> int:
    """Remove the longest unused sections until the rest fits. Returns how many were removed."""
    found = []
    for path in _folder().glob("??/*"):
        status = path.stat()
        found.append((status.st_mtime, status.st_size, path))
    total, removed = sum(size for _, size, _ in found), 0
    for _, size, path in sorted(found):
        if total <= largest_bytes:
            break
        path.unlink(missing_ok=True)
        total -= size
        removed += 1
    return removed
