"""The control guide of a version: the page, and its printed form."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import any_role
from jobs.build_sheet.control.guide import guide_of, is_empty, request_guide
from jobs.build_sheet.control.views import kept_or_404
from jobs.build_sheet.views import page
from jobs.documents.models import Document
from jobs.documents.responses import document_status, download


@require_safe
@any_role
def logic_guide(request: HttpRequest, number: str, version: str) -> HttpResponse:
    kept = kept_or_404(number, version)
    found = guide_of(kept)
    context = {"kept": kept, "guide": found, "is_empty": is_empty(found)}
    return page(request, kept.job, "control/logic_guide", **context)


@require_POST
@any_role
def guide_print(request: HttpRequest, number: str, version: str) -> HttpResponse:
    request_guide(kept_or_404(number, version))
    return redirect("jobs:guide_status", number, version)


def _document(number: str, version: str) -> Document:
    document = kept_or_404(number, version).guide
    if document is None:
        raise Http404("The guide of this version was not printed yet.")
    return document


@require_http_methods(["GET", "HEAD", "POST"])
@any_role
def guide_status(request: HttpRequest, number: str, version: str) -> HttpResponse:
    return document_status(
        request,
        _document(number, version),
        download_url=reverse("jobs:guide_pdf", args=[number, version]),
        back_url=reverse("jobs:logic_guide", args=[number, version]),
    )


@require_safe
@any_role
def guide_pdf(request: HttpRequest, number: str, version: str) -> HttpResponse:
    return download(_document(number, version))
