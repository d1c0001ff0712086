"""What the owner's view answers: the state in words, the file, another try."""

import pytest
from django.http import Http404
from django.template.loader import render_to_string
from django.test import RequestFactory
from django_htmx.middleware import HtmxDetails

from jobs.documents.files import document_path
from jobs.documents.models import Document
from jobs.documents.responses import document_status, download
from tests.papers import ask, made, pdf_of


@pytest.fixture
def document(db, shop) -> Document:
    return ask(title="Quote Łódź", file_name="quote.pdf")


def answer(document: Document, manager, method: str = "GET", htmx: bool = False):
    headers = {"HX-Request": "true"} if htmx else {}
    request = RequestFactory().generic(method, "/owner/status/", headers=headers)
    request.user, request.htmx = manager, HtmxDetails(request)
    return document_status(request, document, download_url="/owner/file/", back_url="/owner/")


def test_fragment_polls_while_it_waits(document, manager) -> None:
    response = answer(document, manager, htmx=True)
    html = response.content.decode()
    assert html.lstrip().startswith("<div")
    assert 'hx-get="/owner/status/"' in html and 'hx-trigger="every 2s"' in html
    assert "Waiting for the worker" in html
    assert response["Cache-Control"] == "no-store"


def test_fragment_tells_the_section_in_words(document, manager) -> None:
    document.state = Document.State.RUNNING
    document.progress, document.sections_done = "Section 3 of 9: Circuit schedules", 2
    html = answer(document, manager, htmx=True).content.decode()
    assert "Section 3 of 9: Circuit schedules" in html
    assert "every 2s" in html


def test_finished_fragment_stops_polling_and_offers_the_file(manager, db, shop) -> None:
    html = answer(made(file_name="quote.pdf"), manager, htmx=True).content.decode()
    assert "hx-trigger" not in html
    assert '<a class="btn" href="/owner/file/">Download quote.pdf</a>' in html
    assert "1 sheet," in html


def test_failed_fragment_says_why_and_can_be_retried(document, manager) -> None:
    Document.objects.update(state=Document.State.FAILED, error="Section 1 of 1: Cover: <no>.")
    document.refresh_from_db()
    html = answer(document, manager, htmx=True).content.decode()
    assert "Section 1 of 1: Cover: &lt;no&gt;." in html
    assert 'method="post"' in html and 'action="/owner/status/"' in html
    assert "every 2s" not in html


def test_page_without_javascript_reloads_itself_until_it_is_done(document, manager) -> None:
    response = answer(document, manager)
    assert "<h1>Quote Łódź</h1>" in response.content.decode()
    assert response["Refresh"] == "3"
    Document.objects.update(state=Document.State.FAILED)
    document.refresh_from_db()
    assert "Refresh" not in answer(document, manager)


def test_post_queues_a_failed_document_again(document, manager) -> None:
    Document.objects.update(state=Document.State.FAILED, error="x")
    document.refresh_from_db()
    response = answer(document, manager, "POST")
    assert (response.status_code, response["Location"]) == (302, "/owner/status/")
    assert Document.objects.get().state == Document.State.QUEUED


def test_second_post_changes_nothing(document, manager) -> None:
    html = answer(document, manager, "POST", htmx=True).content.decode()
    assert "Waiting for the worker" in html


def test_other_methods_are_not_allowed(document, manager) -> None:
    assert answer(document, manager, "DELETE").status_code == 405


def test_download_is_a_file_to_keep(db) -> None:
    document = made(file_name="quote Łódź.pdf")
    response = download(document)
    assert b"".join(response.streaming_content) == pdf_of(document)
    response.close()
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"].startswith("attachment; filename*=utf-8''quote%20")
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Cache-Control"] == "no-store"
    assert response["Content-Security-Policy"] == "default-src 'none'; sandbox"


def test_waiting_document_cannot_be_downloaded(document) -> None:
    with pytest.raises(Http404, match="'Quote Łódź' is not ready yet"):
        download(document)


def test_lost_file_is_said(db) -> None:
    document = made()
    document_path(document.file_sha256).unlink()
    with pytest.raises(Http404, match="is missing; ask for it again"):
        download(document)


def test_fragment_can_stand_in_any_page(document) -> None:
    context = {"document": document, "status_url": "/s/", "download_url": "/d/"}
    assert 'href="/s/"' in render_to_string("jobs/documents/_document_status.html", context)
