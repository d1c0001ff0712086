"""The page of a unit's end: begin, decide thing by thing, finish."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from config.access import MANAGER, TECHNICIAN, any_role, role_required
from inspections.as_built.views import unit_or_404
from inspections.service import removals
from inspections.service.actions import ServiceError
from inspections.service.forms import BeginForm, ItemForm
from inspections.service.models import RemovalItem
from jobs.models import Unit

REUSE = RemovalItem.Outcome.REUSE


def _page(request: HttpRequest, unit: Unit, *, status: int = 200, **forms: Any) -> HttpResponse:
    found = getattr(unit, "removal", None)
    items = list(found.items.all()) if found else []
    context = {
        "unit": unit,
        "job": unit.job,
        "removal": found,
        "owned": [item for item in items if item.agency_owned],
        "ours": [one for one in items if not one.agency_owned and one.outcome != REUSE],
        "reusable": [item for item in items if item.outcome == REUSE],
        "left": sum(not item.outcome for item in items),
        "begin_form": BeginForm(),
        **forms,
    }
    return render(request, "inspections/service/removal.html", context, status=status)


@require_http_methods(["GET", "HEAD"])
@any_role
def removal(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    return _page(request, unit_or_404(number, unit))


@require_POST
@role_required(MANAGER)
def removal_begin(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    form = BeginForm(request.POST)
    if form.is_valid():
        try:
            removals.begin_removal(unit=found, by=request.user, **form.cleaned_data)
            return redirect("inspections:removal", number, unit)
        except ServiceError as error:
            form.add_error(None, str(error))
    return _page(request, found, begin_form=form, status=422)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(MANAGER, TECHNICIAN)
def removal_item(request: HttpRequest, number: str, unit: str, item: int) -> HttpResponse:
    """Where one thing goes."""
    found = unit_or_404(number, unit)
    row = get_object_or_404(RemovalItem, pk=item, removal__unit=found)
    form = ItemForm(request.POST or None, item=row)
    if request.method == "POST" and form.is_valid():
        try:
            removals.decide_item(item=row, by=request.user, **form.cleaned_data)
            return redirect("inspections:removal", number, unit)
        except ServiceError as error:
            form.add_error(None, str(error))
    context = {"unit": found, "job": found.job, "item": row, "form": form}
    status = 422 if request.method == "POST" else 200
    return render(request, "inspections/service/removal_item.html", context, status=status)


@require_POST
@role_required(MANAGER)
def removal_finish(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    row = getattr(found, "removal", None)
    if row is None:
        return _page(request, found, status=422)
    try:
        closed = request.POST.get("holes_closed") == "on"
        removals.finish_removal(removal=row, holes_closed=closed, by=request.user)
    except ServiceError as error:
        messages.error(request, str(error))
        return _page(request, found, status=422)
    return redirect("inspections:removal", number, unit)
