"""Service cases of a unit, and the shop's page over all of them with the campaign search."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, INSPECTOR, MANAGER, TECHNICIAN, any_role, role_required
from inspections.as_built.current import AsBuilt, ChangeError
from inspections.as_built.views import unit_or_404
from inspections.service import actions
from inspections.service.campaigns import search
from inspections.service.forms import CampaignForm, CaseForm, ChangeForm, FindingForm, SwapForm
from inspections.service.models import Case
from jobs.models import Unit

WORKERS = (MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
MOST_CASES = 50


@require_safe
@any_role
def service(request: HttpRequest) -> HttpResponse:
    """Open cases of all units, and which units have a part, lot, tool or version."""
    asked = {name: value for name, value in request.GET.items() if name in CampaignForm.base_fields}
    form = CampaignForm(asked or None)
    searched = bool(asked) and form.is_valid()
    cases = Case.objects.filter(closed_at=None).select_related("unit__job__agency", "circuit")
    context = {
        "form": form,
        "searched": searched,
        "matches": search(form.cleaned_data) if searched else [],
        "cases": cases.order_by("on", "pk")[:MOST_CASES],
    }
    status = 422 if asked and not searched else 200
    return render(request, "inspections/service/service.html", context, status=status)


def _list(request: HttpRequest, unit: Unit, form: CaseForm, status: int = 200) -> HttpResponse:
    context = {
        "unit": unit,
        "job": unit.job,
        "cases": unit.cases.select_related("circuit"),
        "form": form,
        "built": AsBuilt(unit),
    }
    return render(request, "inspections/service/case_list.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(*WORKERS)
def case_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """All visits of a unit; POST opens the next one."""
    found = unit_or_404(number, unit)
    if request.method != "POST":
        circuit = found.job.circuits.filter(ref=request.GET.get("circuit", "")).first()
        return _list(request, found, CaseForm(unit=found, initial={"circuit": circuit}))
    form = CaseForm(request.POST, unit=found)
    if not form.is_valid():
        return _list(request, found, form, 422)
    case = actions.open_case(unit=found, by=request.user, **form.cleaned_data)
    messages.success(request, f"{case} is open.")
    return redirect("inspections:case_detail", number, unit, case.number)


def _case(number: str, unit: str, case: int) -> Case:
    query = Case.objects.select_related("unit__job__agency", "circuit")
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, number=case)


def _page(request: HttpRequest, case: Case, *, status: int = 200, **forms: Any) -> HttpResponse:
    unit = case.unit
    swaps = case.swaps.select_related("line__part")
    context = {
        "unit": unit,
        "job": unit.job,
        "case": case,
        "swaps": [(swap, *actions.cover_of(case, swap.line)) for swap in swaps],
        "finding_form": FindingForm(instance=case),
        "swap_form": SwapForm(unit=unit),
        "change_form": ChangeForm(unit=unit, initial={"circuit": case.circuit_id}),
        "built": AsBuilt(unit),
        **forms,
    }
    return render(request, "inspections/service/case_detail.html", context, status=status)


@require_safe
@any_role
def case_detail(request: HttpRequest, number: str, unit: str, case: int) -> HttpResponse:
    return _page(request, _case(number, unit, case))


@require_POST
@role_required(*WORKERS)
def case_write(request: HttpRequest, number: str, unit: str, case: int) -> HttpResponse:
    found = _case(number, unit, case)
    # Validating writes into the form's row; the page still needs the stored one.
    form = FindingForm(request.POST, instance=_case(number, unit, case))
    status = 422
    if form.is_valid():
        try:
            actions.write_case(
                case=found,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
            return redirect("inspections:case_detail", number, unit, case)
        except actions.ServiceError as error:
            form.add_error(None, str(error))
            status = 409
    return _page(request, found, finding_form=form, status=status)


@require_POST
@role_required(*WORKERS)
def case_swap(request: HttpRequest, number: str, unit: str, case: int) -> HttpResponse:
    found = _case(number, unit, case)
    form = SwapForm(request.POST, unit=found.unit)
    if form.is_valid():
        try:
            actions.swap_part(case=found, by=request.user, **form.cleaned_data)
            return redirect("inspections:case_detail", number, unit, case)
        except actions.ServiceError as error:
            form.add_error(None, str(error))
    return _page(request, found, swap_form=form, status=422)


@require_POST
@role_required(*WORKERS)
def case_change(request: HttpRequest, number: str, unit: str, case: int) -> HttpResponse:
    found = _case(number, unit, case)
    form = ChangeForm(request.POST, unit=found.unit)
    if form.is_valid():
        try:
            actions.change_as_built(case=found, by=request.user, **form.cleaned_data)
            return redirect("inspections:case_detail", number, unit, case)
        except (actions.ServiceError, ChangeError) as error:
            form.add_error(None, str(error))
    return _page(request, found, change_form=form, status=422)


@require_POST
@role_required(*WORKERS)
def case_close(request: HttpRequest, number: str, unit: str, case: int) -> HttpResponse:
    found = _case(number, unit, case)
    try:
        actions.close_case(case=found, by=request.user)
        messages.success(request, f"{found} is closed.")
    except actions.ServiceError as error:
        messages.error(request, str(error))
    return redirect("inspections:case_detail", number, unit, case)
