"""Answers that no single view can give: an empty shop, an ended session, a wrong method."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.contrib.auth import logout
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django_htmx.http import HttpResponseClientRedirect

from config.access import PUBLIC
from jobs.people.models import Shop
from jobs.people.tablets import BY_PIN, is_withdrawn

GetResponse = Callable[[HttpRequest], HttpResponse]


class FirstRunMiddleware:
    """Send everybody to the first-run page until a shop and its first account exist."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response
        self.ready = False

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not self.ready and not self._is_open(request.path):
            self.ready = Shop.objects.exists()
            if not self.ready:
                return redirect("jobs:first_run")
        return self.get_response(request)

    @staticmethod
    def _is_open(path: str) -> bool:
        names = ("first_run", "healthz", "readyz", "set_mode")
        return path in {reverse(f"jobs:{name}") for name in names}


class PinPages:
    """A session that was opened by PIN sees pages of the bay; for others the passphrase is asked.

    The PIN is short, so it never reaches prices, people, release or a signature. It ends at once
    where the tablet is withdrawn, for example because it was lost.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponse | None:
        allowed = getattr(view, "allowed_roles", frozenset())
        if allowed == PUBLIC or not self._by_pin(request):
            return None
        if is_withdrawn(request.session[BY_PIN]):
            logout(request)
            return redirect(f"{reverse('jobs:sign_in')}?{urlencode({'next': request.path})}")
        if getattr(view, "pin_opens", False):
            return None
        words = "This page needs your passphrase; the PIN opens work in the bay only."
        if request.method in ("GET", "HEAD"):
            messages.info(request, words)
            return redirect(f"{reverse('jobs:sign_in')}?{urlencode({'next': request.path})}")
        raise PermissionDenied(words)

    @staticmethod
    def _by_pin(request: HttpRequest) -> bool:
        return request.user.is_authenticated and bool(request.session.get(BY_PIN))


def keep_private(get_response: GetResponse) -> GetResponse:
    """No answer is kept on the device unless its view says so: tablets are shared."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    return answer


def clear_answers(get_response: GetResponse) -> GetResponse:
    """Give a wrong method a page, and a fragment without a session the whole sign-in page.

    An address with a NUL character names nothing, and PostgreSQL refuses to look for it.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        if "\0" in request.path_info:
            return render(request, "404.html", {"request_path": request.path}, status=404)
        response = get_response(request)
        if response.status_code == 405 and not response.content:
            page = render(request, "405.html", status=405)
            page.headers["Allow"] = response.headers.get("Allow", "")
            return page
        sign_in = reverse("jobs:sign_in")
        if request.htmx and response.status_code == 302 and response.url.startswith(sign_in):
            back = urlencode({"next": request.htmx.current_url_abs_path or "/"})
            return HttpResponseClientRedirect(f"{sign_in}?{back}")
        return response

    return answer
