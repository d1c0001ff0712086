"""The way round one job and one of its units. Rooms that an installation lacks are left out."""

from dataclasses import dataclass
from typing import Any

from django import template
from django.urls import NoReverseMatch, reverse

from config.access import INSPECTOR

register = template.Library()

# Key that a page passes as `here`, word, address.
JOB_ROOMS = (
    ("job", "Overview", "jobs:job_detail"),
    ("requirements", "Requirements", "jobs:requirement_list"),
    ("furnished", "Agency items", "jobs:furnished_list"),
    ("units", "Units", "jobs:unit_list"),
    ("quotes", "Quotes", "jobs:quote_list"),
    ("build", "Build sheet", "jobs:build_sheet"),
    ("buying", "Parts", "jobs:job_buying"),
    ("circuits", "Circuits", "jobs:circuit_list"),
    ("modes", "Modes", "jobs:mode_list"),
    ("logic", "Logic", "jobs:logic_list"),
    ("weight", "Weight", "jobs:weight_sheet"),
    ("stages", "Stages", "jobs:job_stages"),
    ("history", "History", "jobs:job_history"),
)
UNIT_ROOMS = (
    ("unit", "Unit", "jobs:unit_detail"),
    ("arrival", "Arrival", "jobs:unit_arrival"),
    ("checks", "Checks", "inspections:check_list"),
    ("decisions", "Decisions", "inspections:decision_list"),
    ("defects", "Defects", "inspections:defect_list"),
    ("release", "Release", "inspections:release_unit"),
    ("places", "Places", "inspections:place_list"),
    ("packet", "Packet", "inspections:packet_detail"),
    ("as_built", "As built", "inspections:as_built"),
    ("cases", "Service", "inspections:case_list"),
)

# Rooms that only some roles may enter: the others are not led there.
ONLY = {"release": frozenset({INSPECTOR})}

UNIT_KEYS = {key for key, _, _ in UNIT_ROOMS}


@dataclass(frozen=True, kw_only=True, slots=True)
class Tab:
    word: str
    url: str
    here: bool


def _tabs(rooms: tuple[tuple[str, str, str], ...], here: str, *args: str) -> list[Tab]:
    tabs = []
    for key, word, name in rooms:
        try:
            tabs.append(Tab(word=word, url=reverse(name, args=args), here=key == here))
        except NoReverseMatch:
            continue
    return tabs


@register.simple_tag
def job_tabs(job: Any, here: str = "") -> list[Tab]:
    inside = "units" if here in UNIT_KEYS else here
    return _tabs(JOB_ROOMS, inside, job.number)


@register.simple_tag
def unit_tabs(job: Any, unit: Any, here: str = "", roles: Any = frozenset()) -> list[Tab]:
    rooms = tuple(room for room in UNIT_ROOMS if room[0] not in ONLY or ONLY[room[0]] & roles)
    return _tabs(rooms, here, job.number, unit.number)
