"""Shared tablets: enrolled by a manager, taken over by PIN, for bay pages only."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, public, role_required
from jobs.people import tablets
from jobs.people.actions import PeopleError
from jobs.people.models import QuickPin, Tablet
from jobs.people.tablet_forms import OwnPinForm, PinForm, TabletForm
from jobs.people.tries import too_many_tries
from jobs.people.views import PERSON_BACKEND, YEAR_SECONDS

EDIT = ["GET", "HEAD", "POST"]


@role_required(MANAGER)
@require_safe
def tablet_list(request: HttpRequest) -> HttpResponse:
    context = {
        "tablets": Tablet.objects.select_related("enrolled_by", "revoked_by"),
        "this": tablets.tablet_of(request),
    }
    return render(request, "jobs/people/tablet_list.html", context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def tablet_enrol(request: HttpRequest) -> HttpResponse:
    """Make the device in hand a shared tablet. Its key goes into a cookie that no script reads."""
    form = TabletForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            tablet, key = tablets.enrol_tablet(name=form.cleaned_data["name"], by=request.user)
        except PeopleError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, f"This device is the tablet {tablet} now.")
            response = redirect("jobs:tablet_list")
            response.set_cookie(
                tablets.COOKIE,
                key,
                max_age=YEAR_SECONDS,
                httponly=True,
                samesite="Strict",
                secure=settings.HTTPS,
            )
            return response
    status = 422 if form.is_bound else 200
    return render(request, "jobs/people/tablet_enrol.html", {"form": form}, status=status)


@role_required(MANAGER)
@require_POST
def tablet_revoke(request: HttpRequest, tablet_id: int) -> HttpResponse:
    tablet = get_object_or_404(Tablet, pk=tablet_id)
    try:
        tablets.revoke_tablet(tablet=tablet, by=request.user)
        messages.success(request, f"No PIN counts on {tablet} any more.")
    except PeopleError as error:
        messages.warning(request, str(error))
    return redirect("jobs:tablet_list")


@public
@require_safe
def tablet_people(request: HttpRequest) -> HttpResponse:
    """Who takes this tablet over: a button for each person with a PIN."""
    tablet = tablets.tablet_of(request)
    people = tablets.people_of(tablet) if tablet else []
    context = {"tablet": tablet, "people": people}
    return render(request, "jobs/people/tablet_people.html", context)


@public
@sensitive_post_parameters("pin")
@require_http_methods(EDIT)
def tablet_pin(request: HttpRequest, person_id: int) -> HttpResponse:
    """Switch to this person by PIN. What the session may then open is kept by PinPages."""
    tablet = tablets.tablet_of(request)
    people = tablets.people_of(tablet) if tablet else []
    person = next((one for one in people if one.pk == person_id), None)
    if tablet is None or person is None:
        raise Http404("Nobody with a PIN can be chosen here.")
    form = PinForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            tablets.check_pin(tablet=tablet, person=person, typed=form.cleaned_data["pin"])
        except PeopleError as error:
            form.add_error("pin", str(error))
        else:
            request.session.flush()
            login(request, person, backend=PERSON_BACKEND)
            request.session[tablets.BY_PIN] = tablet.pk
            request.session.set_expiry(tablets.SHIFT_SECONDS)
            return redirect(settings.LOGIN_REDIRECT_URL)
    context = {"form": form, "person": person, "tablet": tablet}
    status = 422 if form.is_bound else 200
    return render(request, "jobs/people/tablet_pin.html", context, status=status)


@any_role
@sensitive_post_parameters("current", "pin", "again")
@require_http_methods(EDIT)
def own_pin(request: HttpRequest) -> HttpResponse:
    """Set or remove one's own PIN. A forgotten one is simply set again."""
    if request.method == "POST" and "remove" in request.POST:
        tablets.remove_pin(person=request.user)
        messages.success(request, "You have no PIN any more.")
        return redirect("jobs:own_account")
    form = OwnPinForm(request.POST if request.method == "POST" else None, person=request.user)
    if form.is_valid():
        tablets.set_pin(person=request.user, pin=form.cleaned_data["pin"])
        messages.success(request, "You have a new PIN for shared tablets.")
        return redirect("jobs:own_account")
    if ended := too_many_tries(request, form, "current"):
        return ended
    has_pin = QuickPin.objects.filter(person=request.user).exists()
    context = {"form": form, "has_pin": has_pin}
    status = 422 if form.is_bound else 200
    return render(request, "jobs/people/own_pin.html", context, status=status)
