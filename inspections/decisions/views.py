"""Decisions to make on a unit: each with its answers side by side."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from config.access import INSPECTOR, MANAGER, any_role, bay_page, has_role, role_required
from inspections.checklists.models import Check
from inspections.decisions import actions
from inspections.decisions.conflicts import conflict_of, conflicts, past_decisions
from inspections.decisions.forms import DecideForm
from jobs.models import Unit


@require_safe
@any_role
@bay_page
def decision_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """What waits for somebody, then what was decided already."""
    query = Unit.objects.select_related("job__agency")
    found = get_object_or_404(query, job__number=number, number=unit)
    context = {
        "unit": found,
        "job": found.job,
        "conflicts": conflicts(found),
        "past": past_decisions(found),
        "may_decide": has_role(request.user, INSPECTOR, MANAGER),
    }
    return render(request, "inspections/decisions/decision_list.html", context)


@role_required(INSPECTOR, MANAGER)
@require_http_methods(["GET", "POST"])
def check_decide(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """The answers to one check side by side; one of them stands, or the check is done again."""
    query = Check.objects.select_related("unit__job__agency", "stage")
    check = get_object_or_404(query, unit__job__number=number, unit__number=unit, ref=ref)
    conflict = conflict_of(check)
    if conflict is None:
        if request.method == "POST":
            messages.warning(request, f"{ref} does not wait for a decision any more.")
            return redirect("inspections:decision_list", number, unit)
        raise Http404(f"{ref} does not wait for a decision.")
    form = DecideForm(request.POST if request.method == "POST" else None, conflict=conflict)
    if request.method == "POST" and form.is_valid():
        try:
            actions.decide(
                check=check,
                by=request.user,
                keeps=form.kept,
                seen=form.cleaned_data["seen"],
                reason=form.cleaned_data["reason"],
            )
            messages.success(request, f"{ref} is decided. All answers stay in the record.")
            return redirect("inspections:decision_list", number, unit)
        except actions.DecisionError as error:
            form.add_error(None, str(error))
    context = {
        "check": check,
        "unit": check.unit,
        "job": check.unit.job,
        "conflict": conflict,
        "form": form,
        "refused": actions.may_decide(conflict, request.user),
    }
    status = 422 if form.errors else 200
    return render(request, "inspections/decisions/check_decide.html", context, status=status)
