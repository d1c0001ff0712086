"""Several workers, one document."""

from jobs.documents.cache import has_section
from jobs.documents.leases import claim_document
from jobs.documents.models import Document, SectionWork
from jobs.documents.queue import make_document
from jobs.documents.sections import prepare
from jobs.documents.sharing import MOST_ATTEMPTS, help_out
from jobs.documents.tasks import drain_documents
from tests.papers import ask, schedule, section

BAD = section("bad", "Photos", photos=[{"sha256": "0" * 64, "alt": "x", "caption": ""}])


def begun(*sections) -> Document:
    """A document another worker has begun and left all its sections to us."""
    ask(list(sections))
    document = claim_document()
    for number in range(len(sections)):
        SectionWork.objects.create(document=document, number=number, weight=1)
    return document


def test_helper_renders_into_the_common_cache(db) -> None:
    document = begun(section(), schedule())
    drain_documents()
    assert SectionWork.objects.count() == 0
    assert all(has_section(prepare(document, number).key) for number in (0, 1))
    document.refresh_from_db()
    assert document.state == Document.State.RUNNING


def test_helped_document_is_finished_by_its_own_worker(db, monkeypatch) -> None:
    document = begun(section(), schedule())
    help_out()
    monkeypatch.setattr("jobs.documents.sharing.make", None)  # nothing is left to render
    make_document(document)
    document.refresh_from_db()
    assert document.state == Document.State.DONE, document.error


def test_what_a_helper_could_not_render_is_kept_for_the_documents_worker(db) -> None:
    begun(section(), BAD)
    help_out()
    assert SectionWork.objects.get().error.startswith("Section 2 of 2: Photos: photo 0000")
    assert SectionWork.objects.get().lease_until is not None


def test_section_that_ends_its_helpers_is_given_up(db) -> None:
    document = begun(section())
    SectionWork.objects.update(attempts=MOST_ATTEMPTS)
    help_out()
    assert document.work.get().error == (
        "Section 1 of 1: Section one: the worker stopped 3 times at it."
    )


def test_unexpected_error_of_a_helper_is_kept_as_a_sentence(db) -> None:
    document = begun(section())
    Document.objects.update(context=[{**document.context[0], "template": "print/none.html"}])
    help_out()
    assert document.work.get().error == "Section 1 of 1: Section one: TemplateDoesNotExist."
