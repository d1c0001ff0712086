"""Defect pages: the list of a unit, one defect from found to closed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import (
    INSPECTOR,
    MANAGER,
    TECHNICIAN,
    any_role,
    bay_page,
    has_role,
    role_required,
)
from inspections.checklists.readings import CheckError
from inspections.defects import actions
from inspections.defects.containment import touched_by
from inspections.defects.forms import ConcessionForm, ContainForm, DefectForm, ReworkForm
from inspections.defects.models import Defect
from jobs.models import Unit


def _defect(number: str, unit: str, defect: int) -> Defect:
    query = Defect.objects.select_related(
        "unit__job__agency",
        "check_item__circuit",
        "result__person",
        "result__instrument",
        "reworked_by",
        "closed_by",
    )
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, number=defect)


@require_safe
@any_role
@bay_page
def defect_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_object_or_404(
        Unit.objects.select_related("job__agency"), job__number=number, number=unit
    )
    defects = found.defects.select_related("check_item", "reworked_by", "closed_by")
    context = {"unit": found, "job": found.job, "defects": defects}
    return render(request, "inspections/defects/defect_list.html", context)


@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@bay_page
@require_http_methods(["GET", "POST"])
def defect_detail(request: HttpRequest, number: str, unit: str, defect: int) -> HttpResponse:
    """Describe a defect: cause, containment, disposition, what was done."""
    found = _defect(number, unit, defect)
    form = DefectForm(request.POST or None, instance=found)
    status = 200
    if request.method == "POST" and form.is_valid():
        seen = request.POST.get("version", "")
        try:
            actions.describe_defect(
                defect=found,
                by=request.user,
                seen_version=int(seen) if seen.isdecimal() and len(seen) < 10 else -1,
                **form.cleaned_data,
            )
            messages.success(request, f"{found} is saved.")
            return redirect("inspections:defect_detail", number, unit, defect)
        except actions.DefectError as error:
            form.add_error(None, str(error))
            status = 409
    elif form.errors:
        status = 422
    return _page(request, _defect(number, unit, defect), form, status=status)


def _page(
    request: HttpRequest,
    defect: Defect,
    form: DefectForm,
    *,
    rework: ReworkForm | None = None,
    concession: ConcessionForm | None = None,
    contain: ContainForm | None = None,
    status: int = 200,
) -> HttpResponse:
    touched = touched_by(defect)
    context = {
        "defect": defect,
        "touched": touched,
        "contained": {check.pk for check in defect.contained.all()},
        "contain_form": contain,
        "may_contain": has_role(request.user, INSPECTOR, MANAGER),
        "unit": defect.unit,
        "job": defect.unit.job,
        "form": form,
        "rework_form": rework or ReworkForm(defect=defect),
        "concession_form": concession or ConcessionForm(),
        "results": defect.check_item.results.select_related("person", "instrument"),
    }
    return render(request, "inspections/defects/defect_detail.html", context, status=status)


@require_POST
@role_required(TECHNICIAN)
@bay_page
def defect_rework(request: HttpRequest, number: str, unit: str, defect: int) -> HttpResponse:
    found = _defect(number, unit, defect)
    form = ReworkForm(request.POST, defect=found)
    if form.is_valid():
        try:
            actions.mark_reworked(
                defect=found, by=request.user, retest=list(form.cleaned_data["retest"])
            )
            messages.success(request, f"{found} is ready for re-check by somebody else.")
            return redirect("inspections:defect_detail", number, unit, defect)
        except actions.DefectError as error:
            form.add_error(None, str(error))
    return _page(request, found, DefectForm(instance=found), rework=form, status=422)


@require_POST
@role_required(INSPECTOR, MANAGER)
def defect_contain(request: HttpRequest, number: str, unit: str, defect: int) -> HttpResponse:
    """Open again what the same cause may have touched, on this unit and on others."""
    found = _defect(number, unit, defect)
    form = ContainForm(request.POST, touched=touched_by(found))
    if form.is_valid():
        try:
            checks = list(form.cleaned_data["checks"])
            opened = actions.contain(defect=found, by=request.user, checks=checks)
            messages.success(request, f"{len(opened)} checks are open again because of {found}.")
            return redirect("inspections:defect_detail", number, unit, defect)
        except (actions.DefectError, CheckError) as error:
            form.add_error(None, str(error))
    return _page(request, found, DefectForm(instance=found), contain=form, status=422)


@require_POST
@role_required(MANAGER)
def defect_concede(request: HttpRequest, number: str, unit: str, defect: int) -> HttpResponse:
    found = _defect(number, unit, defect)
    form = ConcessionForm(request.POST)
    if form.is_valid():
        try:
            actions.concede(defect=found, by=request.user, **form.cleaned_data)
            return redirect("inspections:defect_detail", number, unit, defect)
        except actions.DefectError as error:
            form.add_error(None, str(error))
    return _page(request, found, DefectForm(instance=found), concession=form, status=422)
