"""What a tablet needs to work alone: its service worker, the page for no connection, the outbox."""

import hashlib
import json
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib import messages
from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from config.access import MANAGER, any_role, bay_page, has_role, public
from config.offline import kept_offline
from inspections.checklists.readings import CheckError
from inspections.sync.aside import UNDECIDED, set_aside
from inspections.sync.models import DeviceEvent

WORKER = "js/bay/worker.js"
SHEETS = ("tokens", "night", "glare", "base", "components", "bay")
SCRIPTS = settings.BASE_DIR / "config" / "static" / "js" / "bay"
FACES = (
    "font/text/AtkinsonHyperlegible-Regular.ttf",
    "font/text/AtkinsonHyperlegible-Bold.ttf",
    "font/mono/IBMPlexMono-Regular.ttf",
    "font/mono/IBMPlexMono-SemiBold.ttf",
)
ASSETS = (
    *(f"css/{name}.css" for name in SHEETS),
    *sorted(f"js/bay/{path.name}" for path in SCRIPTS.glob("*.js") if path.name != "worker.js"),
    "js/site.js",
    "icon.svg",
    *FACES,
)


def _bytes(name: str) -> bytes:
    found = finders.find(name)
    return Path(str(found)).read_bytes() if found else b""


def _release() -> str:
    """Changes with every change to anything the bay's pages are made of."""
    digest = hashlib.sha256()
    for name in (WORKER, *ASSETS):
        digest.update(_bytes(name))
    return digest.hexdigest()[:12]


@cache
def _kept_release() -> str:
    return _release()


@public
@require_safe
def service_worker(request: HttpRequest) -> HttpResponse:
    """The worker's code behind the list of what it stores. Served from the top to serve it all."""
    facts = {
        "release": _release() if settings.DEBUG else _kept_release(),
        "assets": [static(name) for name in ASSETS],
        "static": settings.STATIC_URL,
        "fresh": settings.DEBUG,
        "offline": reverse("inspections:offline"),
        "signIn": reverse("jobs:sign_in"),
        "signOut": reverse("jobs:sign_out"),
        "takeOver": [reverse("jobs:sign_in"), reverse("jobs:tablet_people")],
    }
    code = f"const SHOP = {json.dumps(facts)};\n".encode() + _bytes(WORKER)
    response = HttpResponse(code, content_type="text/javascript; charset=utf-8")
    response.headers["Cache-Control"] = "no-cache"
    return response


@public
@require_safe
def offline(request: HttpRequest) -> HttpResponse:
    """What a tablet shows for a page it has not kept. Says nothing about anybody."""
    return render(request, "inspections/sync/offline.html")


@require_safe
@any_role
@kept_offline
@bay_page
def outbox(request: HttpRequest) -> HttpResponse:
    """Everything on this tablet that is not sent; the tablet itself fills the page."""
    return render(request, "inspections/sync/outbox.html")


def _undecided(request: HttpRequest):  # type: ignore[no-untyped-def]
    """One's own entries that are not recorded; a manager sees everybody's."""
    rows = DeviceEvent.objects.filter(answer__in=UNDECIDED).select_related("person")
    return rows if has_role(request.user, MANAGER) else rows.filter(person=request.user.pk)


@require_safe
@any_role
@bay_page
def unrecorded_list(request: HttpRequest) -> HttpResponse:
    """Entries that reached the server and are not recorded, each with the sentence why."""
    rows = _undecided(request).order_by("received_at", "id")
    return render(request, "inspections/sync/unrecorded_list.html", {"rows": rows})


@require_POST
@any_role
@bay_page
def unrecorded_set_aside(request: HttpRequest, client_id: str) -> HttpResponse:
    row = get_object_or_404(_undecided(request), client_id=client_id)
    try:
        set_aside(row=row, by=request.user, reason=request.POST.get("reason", ""))
        messages.success(request, f"The entry on {row.subject} is set aside.")
    except CheckError as error:
        messages.error(request, str(error))
    return redirect("inspections:unrecorded_list")
