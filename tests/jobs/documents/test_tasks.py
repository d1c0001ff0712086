"""Documents made by a real worker process, and what survives when it is killed."""

import time

import pytest

from jobs.documents.files import document_path
from jobs.documents.models import Document, SectionWork
from jobs.photos.actions import store_photo
from jobs.photos.models import Photo
from tests import pictures
from tests.papers import ask, schedule
from tests.pictures import upload
from tests.services import Worker

pytestmark = pytest.mark.slow


def state(document: Document) -> str:
    document.refresh_from_db()
    return document.state


def is_done(document: Document):
    return lambda: state(document) in (Document.State.DONE, Document.State.FAILED)


def test_worker_makes_a_document_when_the_bell_rings(worker: Worker) -> None:
    document = ask()
    worker.wait_for(is_done(document), what="the document is made")
    assert (document.state, document.error) == (Document.State.DONE, "")
    assert document_path(document.file_sha256).is_file()


def test_worker_makes_previews_when_the_bell_rings(worker: Worker) -> None:
    photo = store_photo(file=upload("a.jpg", pictures.jpeg()), by=None)
    worker.wait_for(
        lambda: Photo.objects.get(pk=photo.pk).preview == Photo.Preview.READY, what="a preview"
    )


def test_unheard_bell_is_made_good_by_the_sweep(worker: Worker, monkeypatch) -> None:
    monkeypatch.setattr("jobs.documents.actions.ring_when_saved", lambda task: None)
    document = ask()
    worker.wait_for(is_done(document), what="the sweep finds the document")
    assert document.state == Document.State.DONE


def test_killed_worker_goes_on_after_its_restart(worker: Worker) -> None:
    document = ask(sections=[schedule(n, rows=60) for n in range(12)])
    worker.wait_for(lambda: SectionWork.objects.exists(), what="the worker is in the middle")
    worker.wait_for(lambda: SectionWork.objects.count() < 11, what="some sections are made")
    worker.kill()
    assert state(document) == Document.State.RUNNING
    began = time.monotonic()
    worker.start()
    worker.wait_for(is_done(document), what="the document is finished after the restart")
    assert (document.state, document.error) == (Document.State.DONE, "")
    assert document.attempts == 2
    assert document.page_count >= 12
    assert SectionWork.objects.count() == 0
    assert time.monotonic() - began < 45


def test_killed_child_is_replaced_and_the_document_finished(worker: Worker) -> None:
    document = ask(sections=[schedule(n, rows=60) for n in range(8)])
    worker.wait_for(lambda: SectionWork.objects.exists(), what="the worker is in the middle")
    for child in worker.children():
        child.kill()
    worker.wait_for(is_done(document), what="the document is finished by new children")
    assert (document.state, document.error) == (Document.State.DONE, "")


def test_both_children_share_one_document(worker: Worker) -> None:
    document = ask(sections=[schedule(n, rows=60) for n in range(8)])
    busiest = 0

    def watch() -> bool:
        nonlocal busiest
        taken = SectionWork.objects.exclude(lease_until=None).count()
        busiest = max(busiest, taken)
        return is_done(document)()

    worker.wait_for(watch, what="the document is made")
    assert document.state == Document.State.DONE
    assert busiest == 2
