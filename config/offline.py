"""Which pages a tablet may keep: those that say for whom."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponseBase

KEEP_FOR = "X-Keep-For"


def kept_offline(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Let the tablet keep this page for the person who reads it, and for nobody else.

    The service worker (config/static/js/bay/worker.js) stores no page without this header.
    """

    @wraps(view)
    def marked(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        response = view(request, *args, **kwargs)
        if request.method == "GET" and response.status_code == 200 and request.user.pk:
            response.headers[KEEP_FOR] = str(request.user.pk)
        return response

    return marked
