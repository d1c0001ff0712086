"""Which pages a tablet may keep: those that say for whom."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase

KEEP_FOR = "X-Keep-For"
View = Callable[..., HttpResponseBase]


def keep_for_reader(request: HttpRequest, response: HttpResponseBase) -> HttpResponseBase:
    """Let the tablet keep this page for the person who reads it, and for nobody else."""
    if request.method == "GET" and response.status_code == 200 and request.user.pk:
        response.headers[KEEP_FOR] = str(request.user.pk)
    return response


def kept_offline(view: View) -> View:
    """Mark a page of the bay. The service worker (js/bay/worker.js) keeps no page without it."""

    @wraps(view)
    def marked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        return keep_for_reader(request, view(request, *args, **kwargs))

    return marked
