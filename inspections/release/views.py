"""Signing pages: a stage, and the release of a unit. Exceptions first."""

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from config.access import INSPECTOR, role_required
from inspections.release import actions
from inspections.release.exceptions import exceptions
from inspections.release.forms import SignForm
from inspections.release.open_checks import DONE, open_checks
from jobs.audit.record import display_name
from jobs.models import Stage, Unit
from jobs.people.tries import too_many_tries
from jobs.stages.actions import WORK_KINDS, StageError, worked_on


@role_required(INSPECTOR)
@require_http_methods(["GET", "POST"])
def stage_sign(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    stage = get_object_or_404(
        Stage.objects.select_related("unit__job__agency"),
        unit__job__number=number,
        unit__number=unit,
        code=code,
    )
    form = SignForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            actions.sign_off(stage=stage, by=request.user)
            messages.success(request, f"{stage.code} {stage.name} is signed off.")
            return redirect("jobs:stage_detail", number, unit, code)
        except (actions.ReleaseError, StageError) as error:
            form.add_error(None, str(error))
    checks = stage.checks.filter(retired=False).order_by("position")
    worked = stage.events.filter(kind__in=WORK_KINDS).select_related("person")
    context = {
        "stage": stage,
        "form": form,
        "waiting": open_checks(stage.unit, stage),
        "done": checks.filter(state__in=DONE).count(),
        "own_part": worked_on(stage=stage, person=request.user),
        "exceptions": exceptions(stage.unit, stage),
        "checkers": _checkers(stage),
        "workers": sorted({display_name(event.person) for event in worked}),
    }
    if (refused := too_many_tries(request, form, "passphrase")) is not None:
        return refused
    status = 422 if form.errors else 200
    return render(request, "inspections/release/stage_sign.html", context, status=status)


def _checkers(stage: Stage) -> list[str]:
    people = User.objects.filter(results__check_item__stage=stage, results__kind="result")
    return sorted({display_name(person) for person in people.distinct()})


@role_required(INSPECTOR)
@require_http_methods(["GET", "POST"])
def release_unit(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_object_or_404(
        Unit.objects.select_related("job__agency", "release"), job__number=number, number=unit
    )
    form = SignForm(request.POST or None, person=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            actions.release_unit(unit=found, by=request.user)
            messages.success(request, f"Unit {found.number} is released.")
            return redirect("inspections:release_unit", number, unit)
        except actions.ReleaseError as error:
            form.add_error(None, str(error))
    context = {
        "unit": found,
        "job": found.job,
        "form": form,
        "release": getattr(found, "release", None),
        "blockers": actions.release_blockers(found),
        "exceptions": exceptions(found),
        "own_part": request.user.pk in actions.people_who_worked(found),
        "statement": actions.STATEMENT,
        "counts": {
            "passed": found.checks.filter(retired=False, state="pass").count(),
            "all": found.checks.filter(retired=False).count(),
        },
    }
    if (refused := too_many_tries(request, form, "passphrase")) is not None:
        return refused
    status = 422 if form.errors else 200
    return render(request, "inspections/release/release_unit.html", context, status=status)
