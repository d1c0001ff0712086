"""How a document ends: done, failed with a sentence, or tried again."""

from jobs.documents.leases import claim_document
from jobs.documents.models import Document, SectionWork
from jobs.documents.queue import MOST_ATTEMPTS, make_document
from jobs.documents.sections import make
from jobs.documents.tasks import drain_documents
from tests.papers import ask, made, schedule, section


def drained(document: Document) -> Document:
    drain_documents()
    document.refresh_from_db()
    return document


def test_finished_document_says_how_large_it_is(db) -> None:
    document = made([section(), schedule(rows=60)])
    assert document.page_count > 1
    assert document.size_bytes > 1000
    assert (document.sections_done, document.sections_total) == (2, 2)
    assert (document.progress, document.error, document.lease_until) == ("Ready", "", None)
    assert document.finished_at is not None


def test_section_that_cannot_be_rendered_is_named(db) -> None:
    bad = section("bad", "Photos", photos=[{"sha256": "0" * 64, "alt": "x", "caption": ""}])
    document = drained(ask([section(), bad]))
    assert document.state == Document.State.FAILED
    assert document.error == (
        "Section 2 of 2: Photos: photo 000000000000 is not in the shop's records."
    )
    assert document.attempts == 1
    assert SectionWork.objects.count() == 0


def test_error_while_joining_is_not_blamed_on_a_section(db, monkeypatch) -> None:
    monkeypatch.setattr("jobs.documents.packet.join", lambda parts: 1 / 0)
    document = drained(ask())
    assert document.state == Document.State.QUEUED
    assert document.error == "Joining the sections: ZeroDivisionError."


def test_unexpected_error_is_tried_again_and_then_said(db, monkeypatch) -> None:
    monkeypatch.setattr("jobs.documents.packet.publish", lambda data: 1 / 0)
    document = ask()
    for _ in range(MOST_ATTEMPTS):
        assert document.state == Document.State.QUEUED
        drained(document)
    assert document.state == Document.State.FAILED
    assert document.error.endswith("ZeroDivisionError.")
    assert drained(document).attempts == MOST_ATTEMPTS


def test_document_that_ends_its_workers_is_given_up_with_the_section_named(db) -> None:
    document = ask()
    Document.objects.update(attempts=MOST_ATTEMPTS, progress="Section 3 of 9: Circuit schedules")
    drained(document)
    assert document.state == Document.State.FAILED
    assert document.error == (
        "Section 3 of 9: Circuit schedules: the worker stopped 5 times at it."
    )


def test_long_document_is_made_by_several_tasks(db, monkeypatch) -> None:
    """Each task renders what it can, then makes room; nothing is rendered twice or counted."""
    rendered = []

    def watched(one):
        rendered.append(one.words)
        return make(one)

    monkeypatch.setattr("jobs.documents.sharing.make", watched)
    monkeypatch.setattr("jobs.documents.queue.PAUSE_SECONDS", 0)
    document = ask([section("a"), section("b"), section("c")])
    states = []
    while document.state != Document.State.DONE:
        states.append(drained(document).state)
    assert len(rendered) == 3
    assert states.count(Document.State.QUEUED) >= 2
    assert document.attempts == 1


def test_worker_that_was_replaced_changes_nothing(db) -> None:
    ask()
    slow = claim_document()
    Document.objects.update(attempts=2, progress="the other's")
    make_document(slow)
    slow.refresh_from_db()
    assert (slow.state, slow.progress) == (Document.State.RUNNING, "the other's")


def test_progress_is_told_in_words(db, monkeypatch) -> None:
    """Heaviest first; every section is on the row while it is being made."""
    told = []
    monkeypatch.setattr("jobs.documents.queue.TELL_SECONDS", 0)

    def watched(one):
        told.append((Document.objects.get().progress, Document.objects.get().sections_done))
        return make(one)

    monkeypatch.setattr("jobs.documents.sharing.make", watched)
    made([section("a", "Cover", lead="Hello"), schedule(2, rows=20), section("c", "Care")])
    assert told == [
        ("Section 2 of 3: Circuit schedule 2", 0),
        ("Section 1 of 3: Cover", 1),
        ("Section 3 of 3: Care", 2),
    ]
