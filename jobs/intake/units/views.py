"""Units of a job: the list, a new one, one unit, changing it, its VIN while it is typed."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, role_required
from jobs.intake import vin
from jobs.intake.arrival.standing import arrival_of
from jobs.intake.errors import IntakeError
from jobs.intake.guard import StaleError
from jobs.intake.models import Unit
from jobs.intake.pages import conflict_page, form_page, posted
from jobs.intake.sheet.views import get_job
from jobs.intake.units import actions
from jobs.intake.units.forms import UnitForm

PLACE = "jobs/intake/{}.html".format
MOST_EARLIER = 10


def get_unit(number: str, unit: str) -> Unit:
    rows = Unit.objects.select_related("job__agency", "accepted_by")
    return get_object_or_404(rows, job__number=number, number=unit)


@any_role
@require_safe
def unit_list(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    units = [(unit, vin.report(unit.vin) if unit.vin else None) for unit in job.units.all()]
    return render(request, PLACE("unit_list"), {"job": job, "units": units})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def unit_new(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = UnitForm(posted(request), job=job)
    if form.is_valid():
        try:
            unit = actions.add_unit(job=job, values=form.values(), by=request.user)
        except IntakeError as error:
            form.add_error("number", str(error))
        else:
            messages.success(request, f"Added unit {unit.number}.")
            return redirect("jobs:unit_detail", job.number, unit.number)
    return form_page(
        request, PLACE("unit_new"), form, {"job": job, **_vin_says(form["vin"].value())}
    )


@any_role
@require_safe
def unit_detail(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    same_vin = Unit.objects.exclude(pk=found.pk).filter(vin=found.vin) if found.vin else []
    context = {
        "job": found.job,
        "unit": found,
        "report": vin.report(found.vin) if found.vin else None,
        "arrival": arrival_of(found),
        "earlier": list(same_vin.select_related("job")[:MOST_EARLIER]) if found.vin else [],
        "curb": _sum(found.received_front_g, found.received_rear_g),
        "axles": _sum(found.gawr_front_g, found.gawr_rear_g),
    }
    return render(request, PLACE("unit_detail"), context)


def _sum(front: object, rear: object) -> object:
    return front + rear if front and rear else None  # type: ignore[operator]


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def unit_edit(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    form = UnitForm(posted(request), instance=found, job=found.job)
    context = {"job": found.job, "unit": found, **_vin_says(form["vin"].value())}
    if form.is_valid():
        try:
            actions.change_unit(
                unit=found,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            page = PLACE("unit_edit")
            return conflict_page(request, page, form, error, context, job=found.job)
        except IntakeError as error:
            form.add_error("number", str(error))
        else:
            messages.success(request, f"Saved unit {found.number}.")
            return redirect("jobs:unit_detail", number, found.number)
    return form_page(request, PLACE("unit_edit"), form, context)


@role_required(MANAGER)
@require_POST
def unit_remove(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    try:
        actions.remove_unit(unit=found, by=request.user)
    except IntakeError as error:
        messages.error(request, str(error))
        return redirect("jobs:unit_detail", number, unit)
    messages.success(request, f"Removed unit {unit}.")
    return redirect("jobs:unit_list", number)


@any_role
@require_safe
def vin_check(request: HttpRequest) -> HttpResponse:
    """What a VIN says while it is typed. Never refuses: the form does that."""
    typed = request.GET.get("vin", "")[:40]
    return render(request, "jobs/intake/_vin_says.html", _vin_says(typed))


def _vin_says(typed: str | None) -> dict[str, object]:
    tidied = vin.tidy(typed or "")
    if not tidied:
        return {"report": None}
    return {"report": vin.report(tidied), "missing": max(vin.LENGTH - len(tidied), 0)}
