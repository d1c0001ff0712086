"""Answers that no single view can give: an empty shop, an ended session, a wrong method."""

from collections.abc import Callable
from contextlib import suppress
from ipaddress import ip_address
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


def behind_proxy(get_response: GetResponse) -> GetResponse:
    """Know people by the address that our proxy saw, which is the last one on its list.

    Without it all of them would come from the proxy: one who guesses would lock out everybody.
    """

    def answer(request: HttpRequest) -> HttpResponse:
        seen = request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()
        with suppress(ValueError):
            request.META["REMOTE_ADDR"] = str(ip_address(seen.partition("%")[0]))
        return get_response(request)

    return answer


def drop_broken_cookies(get_response: GetResponse) -> GetResponse:
    """A cookie with a NUL character is none of ours, and PostgreSQL refuses to look for it."""

    def answer(request: HttpRequest) -> HttpResponse:
        for name in [name for name, value in request.COOKIES.items() if "\0" in value]:
            del request.COOKIES[name]
        return get_response(request)

    return answer


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
        query = request.META.get("QUERY_STRING", "")
        if "\0" in request.path_info or "\0" in query or "%00" in query:
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
