"""Asking for a document. The same content asked for twice is made once."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import transaction

from jobs.background.bell import ring_when_saved
from jobs.documents.files import document_path
from jobs.documents.fingerprint import fingerprint_of
from jobs.documents.models import DRAIN, Document

SECTION_KEYS = {"key", "title", "template", "data"}


class NotFailedError(Exception):
    """Only a failed document can be tried again."""


def request_document(
    *,
    kind: str,
    title: str,
    file_name: str,
    sections: Sequence[Mapping[str, Any]],
    frame: Mapping[str, Any] | None = None,
    attachments: Sequence[Mapping[str, str]] = (),
) -> Document:
    """Queue a document for the worker and return its row, which may already be done.

    sections     list of {"key", "title", "template", "data"}; data is plain JSON. Photos are named
                 by their SHA-256, drawings are given as SVG text.
    frame        what all pages share, made with jobs.documents.frame.frame()
    attachments  files put into the PDF: {"name", "media_type", "text"}, or "sha256" of a kept file
                 (attached.py) instead of the text
    """
    _check(sections)
    content = {
        "kind": kind,
        "title": title,
        "sections": [dict(section) for section in sections],
        "frame": dict(frame or {}),
        "attachments": [dict(one) for one in attachments],
    }
    with transaction.atomic():
        document, _ = Document.objects.get_or_create(
            fingerprint=fingerprint_of(**content),
            defaults={
                "kind": kind,
                "title": title,
                "file_name": file_name,
                "context": content["sections"],
                "frame": content["frame"],
                "attachments": content["attachments"],
                "sections_total": len(sections),
                "progress": Document.State.QUEUED.label,
            },
        )
        if document.state == Document.State.DONE and not _has_file(document):
            _queue(document.pk, Document.State.DONE)
            document.refresh_from_db()
        if document.state == Document.State.QUEUED:
            ring_when_saved(DRAIN)
    return document


def is_same(document: Document, **content: Any) -> bool:
    """Whether this content, printed now, would give this document: templates and tools count."""
    parts = {"frame": {}, "attachments": [], **content}
    parts.pop("file_name", None)
    return document.fingerprint == fingerprint_of(**parts)


def retry_document(*, document: Document) -> None:
    """Queue a failed document again. Sections that were finished before are not made twice."""
    with transaction.atomic():
        if not _queue(document.pk, Document.State.FAILED):
            raise NotFailedError(f"'{document.title}' is not failed, so there is nothing to retry.")
        ring_when_saved(DRAIN)


def _queue(pk: int, old_state: str) -> int:
    """Back to the start of the queue; 0 when the document is no longer in the old state."""
    return Document.objects.filter(pk=pk, state=old_state).update(
        state=Document.State.QUEUED,
        attempts=0,
        error="",
        lease_until=None,
        sections_done=0,
        progress=Document.State.QUEUED.label,
    )


def _has_file(document: Document) -> bool:
    return document_path(document.file_sha256).is_file()


def _check(sections: Sequence[Mapping[str, Any]]) -> None:
    """Mistakes of the calling code, found at once and not in the worker."""
    if not sections:
        raise ValueError("A document needs at least one section.")
    for section in sections:
        if set(section) != SECTION_KEYS:
            raise ValueError(f"A section has {sorted(SECTION_KEYS)}, not {sorted(section)}.")
    keys = [section["key"] for section in sections]
    if len(set(keys)) != len(keys):
        raise ValueError(f"Section keys must differ from each other: {keys}.")
