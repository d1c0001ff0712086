"""An empty shop shows its first-run page, whatever address was asked for."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse

from jobs.people.models import Shop


class FirstRunMiddleware:
    """Send everybody to the first-run page until a shop and its first account exist."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self.ready = False

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not self.ready:
            self.ready = Shop.objects.exists()
        first_run = reverse("jobs:first_run")
        if not self.ready and request.path not in (first_run, reverse("jobs:healthz")):
            return redirect(first_run)
        return self.get_response(request)
