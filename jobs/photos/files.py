"""Where photo bytes live on disk, and whether they still are what they were."""

from pathlib import Path

from django.conf import settings

from jobs.background.files import sha256_of

LARGE, SMALL = 1600, 400
PAPER = 900  # longest edge of a printed photo: 250 dpi at half a sheet's width, where photos stand
CHUNK = 1024 * 1024


class DamagedFileError(Exception):
    """Stored bytes are gone or are no longer what they were. The message names the file."""


def original_path(sha256: str) -> Path:
    return Path(settings.EVIDENCE_DIR) / sha256[:2] / sha256


def preview_path(sha256: str, size: int) -> Path:
    return Path(settings.PREVIEW_DIR) / sha256[:2] / f"{sha256}-{size}.jpg"


def paper_path(large_sha256: str) -> Path:
    """The copy that is printed: the SHA-256 of its bytes, then its bytes."""
    return Path(settings.PREVIEW_DIR) / large_sha256[:2] / f"{large_sha256}-{PAPER}.paper"


def verify_original(sha256: str) -> Path:
    """The original's path, after reading every byte of it against its name."""
    path = original_path(sha256)
    if not path.is_file():
        raise DamagedFileError(f"photo {sha256[:12]} is missing from the evidence folder")
    if sha256_of(path) != sha256:
        raise DamagedFileError(f"photo {sha256[:12]} was changed on disk: its SHA-256 differs")
    return path
