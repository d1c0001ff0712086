"""What every page needs to know: the shop, the reader's roles, the way round the rooms."""

from dataclasses import dataclass
from typing import Any

from django.forms.renderers import TemplatesSetting
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse

from config.access import DESIGNER, INSPECTOR, MANAGER, ROLE_NAMES, ROLES, TECHNICIAN, roles_of
from jobs.people.models import Shop
from jobs.people.tablets import BY_PIN, tablet_of

MODES = {"auto": "As the device", "paper": "Paper", "night": "Night", "glare": "Glare"}

# Word, address, who sees it. The views check access again; this only keeps the list short.
ROOMS = (
    ("My day", "inspections:my_day", ROLES),
    ("Jobs", "jobs:job_list", ROLES),
    ("Search", "jobs:search", ROLES),
    ("Stages", "jobs:stage_board", (MANAGER, TECHNICIAN, INSPECTOR)),
    ("Service", "inspections:service", ROLES),
    ("Parts", "catalog:part_list", (MANAGER, DESIGNER, TECHNICIAN)),
    ("Planning", "jobs:plan_board", (MANAGER, TECHNICIAN, INSPECTOR)),
    ("Buying", "jobs:buying_list", (MANAGER, TECHNICIAN)),
    ("Invoices", "jobs:invoice_list", (MANAGER,)),
    ("Instruments", "inspections:instrument_list", (MANAGER, INSPECTOR)),
    ("Checks", "inspections:check_template_list", (MANAGER, INSPECTOR)),
    ("Agencies", "jobs:agency_list", (MANAGER,)),
    ("People", "jobs:people_list", (MANAGER,)),
    ("Shop", "jobs:shop_settings", (MANAGER,)),
)
# What stays of it on a shared tablet that was taken over by PIN.
PIN_ROOMS = ("inspections:my_day", "jobs:stage_board", "inspections:instrument_list")


class FormRenderer(TemplatesSetting):
    """Forms and fields render through our own templates."""

    field_template_name = "_field.html"
    form_template_name = "_form.html"


@dataclass(frozen=True, kw_only=True, slots=True)
class Room:
    word: str
    url: str
    here: bool


def _room(word: str, name: str, path: str) -> Room | None:
    try:
        url = reverse(name)
    except NoReverseMatch:
        return None
    return Room(word=word, url=url, here=path == url or (url != "/" and path.startswith(url)))


def rooms_for(roles: frozenset[str], path: str, *, by_pin: bool = False) -> list[Room]:
    """The navigation of somebody who holds these roles, seen from `path`."""
    open_to = [
        (word, name)
        for word, name, allowed in ROOMS
        if roles & frozenset(allowed) and (name in PIN_ROOMS or not by_pin)
    ]
    rooms = (_room(word, name, path) for word, name in open_to)
    return [room for room in rooms if room is not None]


def shop(request: HttpRequest) -> dict[str, Any]:
    user = getattr(request, "user", None)
    roles = roles_of(user) if user is not None else frozenset()
    mode = request.COOKIES.get("mode", "auto")
    session = getattr(request, "session", None)
    by_pin = bool(session is not None and session.get(BY_PIN))
    return {
        "shop": Shop.objects.filter(pk=1).first(),
        "roles": roles,
        "role_words": [ROLE_NAMES[role] for role in ROLE_NAMES if role in roles],
        "navigation": rooms_for(roles, request.path, by_pin=by_pin),
        "tablet": tablet_of(request),
        "modes": MODES,
        "mode": mode if mode in MODES else "auto",
    }
