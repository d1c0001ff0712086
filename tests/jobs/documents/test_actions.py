"""Asking for documents."""


from jobs.documents.actions import request_document
from jobs.documents.files import document_path
from jobs.documents.models import Document
from jobs.documents.tasks import drain_documents

SECTION = {"key": "one", "title": "One", "template": "print/_sheet.html", "data": {"a": 1}}


def ask(**changes):
    return request_document(
        **{
            "kind": "quote",
            "title": "Quote",
            "file_name": "q.pdf",
            "sections": [SECTION],
            **changes,
        }
    )


def test_a_document_is_made_by_the_worker(db):
    document = ask()
    assert document.state == Document.State.QUEUED
    drain_documents()
    document.refresh_from_db()
    assert document.error == ""
    assert document.state == Document.State.DONE
    assert document_path(document.file_sha256).read_bytes().startswith(b"%PDF")
