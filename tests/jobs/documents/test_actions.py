"""Asking for documents: the same content once, whatever happens to the broker."""

import pytest
from django.db import connection, transaction

from jobs.documents.actions import NotFailedError, request_document, retry_document
from jobs.documents.files import document_path
from jobs.documents.frame import frame
from jobs.documents.models import Document
from tests.papers import ask, made, section


def test_same_content_is_one_document(db) -> None:
    assert ask([section(lead="a")]).pk == ask([section(lead="a")]).pk


@pytest.mark.parametrize(
    "change",
    [
        {"sections": [section(lead="b")]},
        {"sections": [section(lead="a"), section("two")]},
        {"title": "Other title"},
        {"kind": "other"},
        {"frame": frame(draft=True)},
        {"attachments": [{"name": "a.csv", "media_type": "text/csv", "text": "1"}]},
    ],
    ids=lambda change: next(iter(change)),
)
def test_other_content_is_another_document(db, change) -> None:
    asked = {"sections": [section(lead="a")]}
    assert ask(**asked).pk != ask(**{**asked, **change}).pk


def test_finished_document_is_not_made_again(db) -> None:
    document = made()
    assert ask().state == Document.State.DONE
    assert ask().file_sha256 == document.file_sha256


def test_document_whose_file_is_gone_is_made_again(db) -> None:
    document = made()
    document_path(document.file_sha256).unlink()
    assert ask().state == Document.State.QUEUED
    assert made().file_sha256 == document.file_sha256
    assert document_path(document.file_sha256).is_file()


def test_asking_inside_a_transaction_rings_after_it(append_only, monkeypatch) -> None:
    rung = []
    monkeypatch.setattr("jobs.background.bell.ring", rung.append)
    with transaction.atomic():
        ask()
        assert rung == []
    assert rung == ["jobs.drain_documents"]


def test_asking_works_without_a_broker(append_only, settings) -> None:
    """No broker runs in this test: the request is kept and answered all the same."""
    document = ask()
    assert connection.in_atomic_block is False
    assert Document.objects.get().pk == document.pk


@pytest.mark.parametrize(
    ("sections", "words"),
    [
        ([], "at least one section"),
        ([{"key": "a"}], "A section has"),
        ([section("a"), section("a")], "must differ"),
        ([section(lead=float("nan"))], "JSON"),
    ],
)
def test_mistakes_of_the_caller_are_named(db, sections, words) -> None:
    with pytest.raises(ValueError, match=words):
        request_document(kind="k", title="t", file_name="f.pdf", sections=sections)
    assert Document.objects.count() == 0


def test_unknown_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="Page size is 'A3'"):
        frame(page_size="A3")


def test_failed_document_is_queued_again(db) -> None:
    document = ask()
    Document.objects.update(state=Document.State.FAILED, attempts=5, error="Section 1 of 1: x.")
    retry_document(document=document)
    document.refresh_from_db()
    assert (document.state, document.attempts, document.error) == (Document.State.QUEUED, 0, "")


def test_second_click_on_retry_loses(db) -> None:
    document = ask()
    with pytest.raises(NotFailedError, match="'Test document' is not failed"):
        retry_document(document=document)
