"""Opening the shop, signing in and out, people and their roles, shop-wide settings."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from config.access import MANAGER, ROLE_NAMES, any_role, public, role_required
from jobs.people import actions
from jobs.people.context import MODES
from jobs.people.forms import (
    FirstRunForm,
    NewPassphraseForm,
    NewPersonForm,
    OwnPassphraseForm,
    PersonForm,
    ShopForm,
    SignInForm,
)
from jobs.people.models import Shop
from jobs.people.tablets import BY_PIN
from jobs.people.tries import too_many_tries

PERSON_BACKEND = "django.contrib.auth.backends.ModelBackend"
YEAR_SECONDS = 365 * 24 * 3600


def _page(request: HttpRequest, name: str, context: dict) -> HttpResponse:
    """The page with its form: 422 when the form was sent and is shown again."""
    status = 422 if context["form"].is_bound else 200
    return render(request, f"jobs/people/{name}.html", context, status=status)


def _next(request: HttpRequest) -> str:
    """Where to go afterwards: an address of this site or My day, never another host."""
    address = request.POST.get("next") or request.GET.get("next") or ""
    if url_has_allowed_host_and_scheme(address, {request.get_host()}, request.is_secure()):
        return address
    return ""


@public
@sensitive_post_parameters("passphrase", "again")
@never_cache
@require_http_methods(["GET", "POST"])
def first_run(request: HttpRequest) -> HttpResponse:
    if Shop.objects.exists():
        return redirect("jobs:sign_in")
    form = FirstRunForm(request.POST or None)
    if form.is_valid():
        typed = {key: value for key, value in form.cleaned_data.items() if key != "again"}
        try:
            person = actions.open_shop(**typed)
        except actions.PeopleError as error:
            form.add_error(None, str(error))
        else:
            login(request, person, backend=PERSON_BACKEND)
            messages.success(request, "The shop is open. You hold every role for now.")
            return redirect(settings.LOGIN_REDIRECT_URL)
    return _page(request, "first_run", {"form": form})


@public
@require_GET
def healthz(request: HttpRequest) -> HttpResponse:
    """For machines: the process answers. Touches neither session nor database."""
    return HttpResponse("ok", content_type="text/plain")


@public
@sensitive_post_parameters("password")
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    form = SignInForm(request, data=request.POST or None)
    if form.is_valid():
        login(request, form.get_user())
        request.session.pop(BY_PIN, None)
        request.session.set_expiry(None)
        return redirect(_next(request) or settings.LOGIN_REDIRECT_URL)
    return _page(request, "sign_in", {"form": form, "next": _next(request)})


@public
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Open to everybody, so that an account without a role can leave as well."""
    logout(request)
    return redirect("jobs:sign_in")


@public
@require_POST
def set_mode(request: HttpRequest) -> HttpResponse:
    """Paper, Night or Glare, kept on this device so that the first paint is right."""
    mode = request.POST.get("mode", "")
    if mode not in MODES:
        words = ", ".join(MODES)
        return HttpResponse(
            f"Display is {mode[:20]!r}; it must be one of {words}.",
            status=422,
            content_type="text/plain",
        )
    response = redirect(_next(request) or settings.LOGIN_REDIRECT_URL)
    response.set_cookie("mode", mode, max_age=YEAR_SECONDS, samesite="Lax", secure=settings.HTTPS)
    return response


@role_required(MANAGER)
@require_GET
def people_list(request: HttpRequest) -> HttpResponse:
    people = User.objects.prefetch_related("groups").order_by("-is_active", "first_name")
    rows = [
        {
            "person": person,
            "roles": [ROLE_NAMES[name] for name in ROLE_NAMES if name in _group_names(person)],
        }
        for person in people
    ]
    return render(request, "jobs/people/people_list.html", {"rows": rows})


def _group_names(person: User) -> set[str]:
    return {group.name for group in person.groups.all()}


@role_required(MANAGER)
@sensitive_post_parameters("passphrase", "again")
@require_http_methods(["GET", "POST"])
def person_new(request: HttpRequest) -> HttpResponse:
    form = NewPersonForm(request.POST or None)
    if form.is_valid():
        typed = {key: value for key, value in form.cleaned_data.items() if key != "again"}
        person = actions.add_person(**typed, by=request.user)
        messages.success(request, f"{person.get_full_name()} can sign in as {person.username}.")
        return redirect("jobs:people_list")
    return _page(request, "person_new", {"form": form})


@role_required(MANAGER)
@require_http_methods(["GET", "POST"])
def person_edit(request: HttpRequest, person_id: int) -> HttpResponse:
    person = get_object_or_404(User, pk=person_id)
    name = person.get_full_name() or person.username
    form = PersonForm(request.POST or None, person=person, initial=PersonForm.initial_of(person))
    if form.is_valid():
        try:
            actions.change_person(person=person, **form.cleaned_data, by=request.user)
        except actions.PeopleError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Saved {person.get_full_name()}.")
            return redirect("jobs:people_list")
    return _page(request, "person_edit", {"form": form, "person": person, "name": name})


@role_required(MANAGER)
@sensitive_post_parameters("passphrase", "again")
@require_http_methods(["GET", "POST"])
def person_passphrase(request: HttpRequest, person_id: int) -> HttpResponse:
    person = get_object_or_404(User, pk=person_id)
    form = NewPassphraseForm(request.POST or None)
    if form.is_valid():
        actions.set_passphrase(
            person=person, passphrase=form.cleaned_data["passphrase"], by=request.user
        )
        if person.pk == request.user.pk:
            update_session_auth_hash(request, person)
        messages.success(request, f"{person.get_full_name()} has a new passphrase.")
        return redirect("jobs:people_list")
    return _page(request, "person_passphrase", {"form": form, "person": person})


@any_role
@sensitive_post_parameters("current", "passphrase", "again")
@require_http_methods(["GET", "POST"])
def own_account(request: HttpRequest) -> HttpResponse:
    """My name, my roles, and a new passphrase."""
    form = OwnPassphraseForm(request.POST or None, person=request.user)
    if form.is_valid():
        actions.set_passphrase(
            person=request.user, passphrase=form.cleaned_data["passphrase"], by=request.user
        )
        update_session_auth_hash(request, request.user)
        messages.success(request, "You have a new passphrase. Other devices are signed out.")
        return redirect("jobs:own_account")
    ended = too_many_tries(request, form, "current")
    return ended or _page(request, "own_account", {"form": form})


@role_required(MANAGER)
@require_http_methods(["GET", "POST"])
def shop_settings(request: HttpRequest) -> HttpResponse:
    row = get_object_or_404(Shop, pk=1)
    form = ShopForm(request.POST or None, instance=row)
    if form.is_valid():
        actions.change_shop(shop=form.instance, changed=form.changed_data, by=request.user)
        messages.success(request, "Saved the shop settings.")
        return redirect("jobs:shop_settings")
    return _page(request, "shop_settings", {"form": form})
