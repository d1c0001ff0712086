"""Where finished documents live on disk: named by their content, published in one step."""

from pathlib import Path

from django.conf import settings

from jobs.background.files import move_into_place, write_temporary


def document_path(sha256: str) -> Path:
    return Path(settings.DOCUMENT_DIR) / sha256[:2] / f"{sha256}.pdf"


def publish(data: bytes | memoryview) -> str:
    """Write a finished file, whole or not at all. Returns its SHA-256, which is its name."""
    temporary, sha256 = write_temporary(Path(settings.DOCUMENT_DIR), [data])
    move_into_place(temporary, document_path(sha256))
    return sha256
