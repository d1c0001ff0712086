"""What an owner's view answers about its document. The owner decides first who may see it."""

from contextlib import suppress
from pathlib import Path
from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import redirect, render

from jobs.documents.actions import NotFailedError, retry_document
from jobs.documents.files import document_path
from jobs.documents.models import Document

PAGE = "jobs/documents/document_status.html"
FRAGMENT = "jobs/documents/_document_status.html"


def document_status(
    request: HttpRequest, document: Document, *, download_url: str, back_url: str
) -> HttpResponse:
    """GET: the state in words, as a fragment for htmx or as a page. POST: try a failed one again.

    The owner's page includes the fragment with document, status_url and download_url.
    """
    if request.method == "POST":
        with suppress(NotFailedError):  # a second click: the state below says so
            retry_document(document=document)
        document.refresh_from_db()
        if not request.htmx:
            return redirect(request.path)
    elif request.method not in ("GET", "HEAD"):
        return HttpResponseNotAllowed(["GET", "HEAD", "POST"])
    context: dict[str, Any] = {
        "document": document,
        "status_url": request.path,
        "download_url": download_url,
        "back_url": back_url,
    }
    response = render(request, FRAGMENT if request.htmx else PAGE, context)
    if not request.htmx and document.is_waiting:
        response["Refresh"] = "3"  # pages without JavaScript reload themselves until it is done
    response["Cache-Control"] = "no-store"
    response["Vary"] = "HX-Request"
    return response


def download(document: Document) -> HttpResponse:
    """The finished file, to be kept and not to be run."""
    if document.state != Document.State.DONE:
        raise Http404(f"'{document.title}' is not ready yet.")
    path = document_path(document.file_sha256)
    if not path.is_file():
        raise Http404(f"The file of '{document.title}' is missing; ask for it again.")
    return pdf_response(path, document.file_name)


def pdf_response(path: Path, file_name: str) -> FileResponse:
    response = FileResponse(
        path.open("rb"),
        as_attachment=True,
        filename=file_name,
        content_type="application/pdf",
    )
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    response["Cache-Control"] = "no-store"
    return response
