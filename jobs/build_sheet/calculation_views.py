"""The printed calculation of a design revision: asked for, its state, the file."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import any_role
from jobs.build_sheet.documents import request_calculation
from jobs.build_sheet.models import DesignRevision
from jobs.documents.models import Document
from jobs.documents.responses import document_status, download


def _revision(number: str, revision: int) -> DesignRevision:
    rows = DesignRevision.objects.select_related("job", "document")
    return get_object_or_404(rows, job__number=number, number=revision)


def _document(number: str, revision: int) -> Document:
    document = _revision(number, revision).document
    if document is None:
        raise Http404("The calculation of this revision was not printed yet.")
    return document


@require_POST
@any_role
def calculation_print(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    request_calculation(_revision(number, revision))
    return redirect("jobs:calculation_status", number, revision)


@require_http_methods(["GET", "HEAD", "POST"])
@any_role
def calculation_status(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    return document_status(
        request,
        _document(number, revision),
        download_url=reverse("jobs:calculation_pdf", args=[number, revision]),
        back_url=reverse("jobs:design_revision", args=[number, revision]),
    )


@require_safe
@any_role
def calculation_pdf(request: HttpRequest, number: str, revision: int) -> HttpResponse:
    return download(_document(number, revision))
