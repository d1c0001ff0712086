"""Small documents of a unit: what there is, asking for one, its state, its file."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import any_role
from inspections.as_built import sheets
from inspections.as_built.models import Sheet
from inspections.as_built.views import unit_or_404
from jobs.documents.responses import document_status, download


@require_safe
@any_role
def sheet_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    made = {sheet.key: sheet for sheet in found.sheets.select_related("document")}
    keys = [*sheets.KINDS, *(f"stage-{stage.code}" for stage in found.stages.order_by("position"))]
    rows = [(key, sheets.kind_of(found, key), made.get(key)) for key in keys]
    context = {"unit": found, "job": found.job, "rows": rows}
    return render(request, "inspections/as_built/sheet_list.html", context)


@require_POST
@any_role
def sheet_print(request: HttpRequest, number: str, unit: str, key: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    if sheets.kind_of(found, key) is None:
        raise Http404
    try:
        sheets.print_sheet(unit=found, key=key, by=request.user)
    except sheets.SheetError as error:
        messages.error(request, str(error))
        return redirect("inspections:sheet_list", number, unit)
    return redirect("inspections:sheet_status", number, unit, key)


def _sheet(number: str, unit: str, key: str) -> Sheet:
    query = Sheet.objects.select_related("document")
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, key=key)


@require_http_methods(["GET", "HEAD", "POST"])
@any_role
def sheet_status(request: HttpRequest, number: str, unit: str, key: str) -> HttpResponse:
    return document_status(
        request,
        _sheet(number, unit, key).document,
        download_url=reverse("inspections:sheet_file", args=[number, unit, key]),
        back_url=reverse("inspections:sheet_list", args=[number, unit]),
    )


@require_safe
@any_role
def sheet_file(request: HttpRequest, number: str, unit: str, key: str) -> HttpResponse:
    return download(_sheet(number, unit, key).document)
