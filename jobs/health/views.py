"""Readiness for load balancers and managers. /healthz, which asks nothing, lives with people."""

import errno
import sys

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from config.access import MANAGER, has_role, public
from jobs.health.probes import PROBES, troubles


@public
@never_cache
@require_safe
def readyz(request: HttpRequest) -> HttpResponse:
    """200 when the shop can take work, 503 when it cannot. Reasons are for managers only."""
    found = troubles()
    answer: dict[str, object] = {"ready": not found}
    # With the database away, nobody can be known to be a manager.
    if "database" not in found and has_role(request.user, MANAGER):
        answer["probes"] = {name: found.get(name, "ok") for name in PROBES}
    return JsonResponse(answer, status=503 if found else 200)


def server_error(request: HttpRequest) -> HttpResponse:
    """The page of every failure. A full disk or a busy database passes: 503, send it again.

    Nothing here may ask the database or the session; they may be what failed.
    """
    problem = sys.exc_info()[1]
    full = isinstance(problem, OSError) and problem.errno in (errno.ENOSPC, errno.EDQUOT)
    if full or isinstance(problem, OperationalError):
        response = HttpResponse(render_to_string("503.html"), status=503)
        response["Retry-After"] = "30"
        return response
    return HttpResponse(render_to_string("500.html"), status=500)
