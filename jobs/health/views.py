"""Readiness for load balancers and managers. /healthz, which asks nothing, lives with people."""

from django.http import HttpRequest, HttpResponse, JsonResponse
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
