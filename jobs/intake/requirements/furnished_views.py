"""Agency-owned equipment of a job: what is expected, what came in and how, what was given up."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from config.access import INSPECTOR, MANAGER, TECHNICIAN, any_role, has_role, role_required
from jobs.audit.record import display_name
from jobs.intake.errors import IntakeError
from jobs.intake.guard import StaleError
from jobs.intake.models import FurnishedItem
from jobs.intake.pages import conflict_page, form_page, posted
from jobs.intake.requirements import furnished
from jobs.intake.requirements.forms import FurnishedForm, ReceiveForm, WaiveForm
from jobs.intake.sheet.views import get_job

PLACE = "jobs/intake/{}.html".format
MAY_RECEIVE = (TECHNICIAN, INSPECTOR, MANAGER)


def _get(number: str, item_id: int) -> FurnishedItem:
    rows = FurnishedItem.objects.select_related("job__agency")
    return get_object_or_404(rows, pk=item_id, job__number=number)


@any_role
@require_safe
def furnished_list(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    items = list(job.furnished_items.all())
    context = {
        "job": job,
        "items": items,
        "missing": sum(not item.is_here for item in items),
        "today": timezone.localdate(),
        "may_receive": has_role(request.user, *MAY_RECEIVE),
        "may_edit": has_role(request.user, MANAGER),
    }
    return render(request, PLACE("furnished_list"), context)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def furnished_new(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = FurnishedForm(posted(request))
    if form.is_valid():
        item = furnished.expect_item(job=job, values=form.values(), by=request.user)
        messages.success(request, f"Added {item.description}.")
        return redirect("jobs:furnished_list", number)
    return form_page(request, PLACE("furnished_new"), form, {"job": job})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def furnished_edit(request: HttpRequest, number: str, item_id: int) -> HttpResponse:
    item = _get(number, item_id)
    form = FurnishedForm(posted(request), instance=item)
    context = {"job": item.job, "item": item}
    if form.is_valid():
        try:
            furnished.change_item(
                item=item,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE("furnished_edit"), form, error, context)
        messages.success(request, f"Saved {item.description}.")
        return redirect("jobs:furnished_list", number)
    return form_page(request, PLACE("furnished_edit"), form, context)


@role_required(*MAY_RECEIVE)
@require_http_methods(["GET", "HEAD", "POST"])
def furnished_receive(request: HttpRequest, number: str, item_id: int) -> HttpResponse:
    item = _get(number, item_id)
    initial: dict[str, Any] = {
        "arrived_on": timezone.localdate(),
        "received_by": display_name(request.user),
    }
    form = ReceiveForm(posted(request), initial=initial)
    if form.is_valid():
        try:
            furnished.receive_item(item=item, values=form.cleaned_data, by=request.user)
            messages.success(request, f"Received {item.description}.")
        except IntakeError as error:
            messages.error(request, str(error))
        return redirect("jobs:furnished_list", number)
    return form_page(request, PLACE("furnished_receive"), form, {"job": item.job, "item": item})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def furnished_waive(request: HttpRequest, number: str, item_id: int) -> HttpResponse:
    item = _get(number, item_id)
    form = WaiveForm(posted(request))
    if form.is_valid():
        reason = form.cleaned_data["waived_reason"]
        try:
            furnished.waive_item(item=item, reason=reason, by=request.user)
            messages.success(request, f"The work goes on without {item.description}.")
        except IntakeError as error:
            messages.error(request, str(error))
        return redirect("jobs:furnished_list", number)
    return form_page(request, PLACE("furnished_waive"), form, {"job": item.job, "item": item})
