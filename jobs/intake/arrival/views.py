"""The check-in of a vehicle, in the bay: readings, the walk round it, acceptance, the report."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import INSPECTOR, MANAGER, TECHNICIAN, any_role, has_role, role_required
from jobs.audit.record import display_name
from jobs.intake import vin
from jobs.intake.arrival import actions
from jobs.intake.arrival.forms import AcceptForm, ReadingsForm, ViewPhotosForm
from jobs.intake.arrival.models import ConditionPhoto
from jobs.intake.arrival.standing import WALK, arrival_of
from jobs.intake.errors import IntakeError
from jobs.intake.guard import StaleError
from jobs.intake.models import Unit
from jobs.intake.pages import conflict_page, form_page, posted
from jobs.intake.sheet.forms import ReasonForm
from jobs.intake.units.views import get_unit
from jobs.photos.actions import PhotoError, store_photos

PLACE = "jobs/intake/{}.html".format
MAY_CHECK_IN = (TECHNICIAN, INSPECTOR, MANAGER)


@any_role
@require_safe
def unit_arrival(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """What is done, what is missing; and, when nothing is missing, who hands over."""
    found = get_unit(number, unit)
    return _overview(request, found, _accept_form(request))


@role_required(*MAY_CHECK_IN)
@require_POST
def arrival_accept(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    form = _accept_form(request)
    if form.is_valid():
        try:
            actions.accept_unit(unit=found, by=request.user, **form.cleaned_data)
        except IntakeError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Unit {found.number} is accepted.")
            return redirect("jobs:unit_arrival", number, unit)
    return _overview(request, found, form)


def _accept_form(request: HttpRequest) -> AcceptForm:
    return AcceptForm(posted(request), accepted_by=display_name(request.user))


def _overview(request: HttpRequest, unit: Unit, form: AcceptForm) -> HttpResponse:
    context = {
        "unit": unit,
        "job": unit.job,
        "arrival": arrival_of(unit),
        "may_work": has_role(request.user, *MAY_CHECK_IN),
        "me": display_name(request.user),
    }
    return form_page(request, PLACE("unit_arrival"), form, context)


@role_required(*MAY_CHECK_IN)
@require_http_methods(["GET", "HEAD", "POST"])
def arrival_readings(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    form = ReadingsForm(posted(request), instance=found)
    context = {"unit": found, "job": found.job}
    if form.is_valid():
        try:
            actions.write_readings(
                unit=found,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE("arrival_readings"), form, error, context)
        except IntakeError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, "Saved the readings.")
            return redirect("jobs:unit_arrival", number, unit)
    return form_page(request, PLACE("arrival_readings"), form, context)


@role_required(*MAY_CHECK_IN)
@require_http_methods(["GET", "HEAD", "POST"])
def arrival_walk(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """One tile per view. A chosen photo is sent at once; without JavaScript by its button."""
    found = get_unit(number, unit)
    form = ViewPhotosForm(request.POST, request.FILES) if request.method == "POST" else None
    if form and form.is_valid():
        problem = _add_photos(request, found, form)
        if problem is None:
            return _walk(request, found, None)
        form.add_error("photos", problem)
    return _walk(request, found, form)


def _add_photos(request: HttpRequest, unit: Unit, form: ViewPhotosForm) -> str | None:
    """Store first, because disks are slow; then the rows. Returns what went wrong."""
    data = form.cleaned_data
    try:
        photos = store_photos(files=data["photos"], by=request.user)
        actions.add_photos(
            unit=unit, view=data["view"], photos=photos, note=data["note"], by=request.user
        )
    except (PhotoError, IntakeError) as error:
        return str(error)
    return None


def _walk(request: HttpRequest, unit: Unit, form: ViewPhotosForm | None) -> HttpResponse:
    """The page, or for htmx its tiles only. After a success without htmx: a redirect."""
    if request.method == "POST" and form is None and not request.htmx:
        return redirect("jobs:arrival_walk", unit.job.number, unit.number)
    context = {
        "unit": unit,
        "job": unit.job,
        "arrival": arrival_of(unit),
        "asked": WALK,
        "form": form,
        "refused_view": form.data.get("view") if form else "",
    }
    page = PLACE("arrival_walk") + ("#walk" if request.htmx else "")
    return render(request, page, context, status=422 if form else 200)


@role_required(*MAY_CHECK_IN)
@require_POST
def arrival_photo_remove(
    request: HttpRequest, number: str, unit: str, photo_id: int
) -> HttpResponse:
    taken = get_object_or_404(
        ConditionPhoto.objects.select_related("unit__job", "photo"),
        pk=photo_id,
        unit__number=unit,
        unit__job__number=number,
    )
    try:
        actions.remove_photo(taken=taken, by=request.user)
        messages.success(request, "The photo is taken out of the walk.")
    except IntakeError as error:
        messages.error(request, str(error))
    return redirect("jobs:arrival_walk", number, unit)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def arrival_reopen(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_unit(number, unit)
    form = ReasonForm(posted(request))
    if form.is_valid():
        try:
            reason = form.cleaned_data["reason"]
            actions.reopen_arrival(unit=found, reason=reason, by=request.user)
            messages.success(request, f"The check-in of unit {found.number} is open again.")
        except IntakeError as error:
            messages.error(request, str(error))
        return redirect("jobs:unit_arrival", number, unit)
    context = {"unit": found, "job": found.job}
    return form_page(request, PLACE("arrival_reopen"), form, context)


@any_role
@require_safe
def arrival_report(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """The arrival condition on paper: both names, readings, damage, every photo."""
    found = get_unit(number, unit)
    context = {
        "unit": found,
        "job": found.job,
        "arrival": arrival_of(found),
        "report": vin.report(found.vin) if found.vin else None,
    }
    return render(request, PLACE("arrival_report"), context)
