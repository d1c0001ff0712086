"""Packet sections that are drawings."""

from typing import Any

from django.template.loader import render_to_string

from inspections.handover.facts import Section, section
from jobs.build_sheet.balances import axle_picture, axle_rows, energy_picture, mode_rows
from jobs.build_sheet.diagrams import single_line as diagrams_of
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.review import Review
from jobs.models import Job, Unit
from jobs.templatetags.units import ampere

PICTURE = "jobs/build_sheet/svg/picture.svg"


def single_line(job: Job, found: Review) -> list[Section]:
    """Where the energy comes from, then one drawing a feed; the schedules are their tables."""
    overview, feeds = diagrams_of(job, found)
    sections = []
    if overview:
        sections.append(_drawn("single-line", "Single line: supplies and feeds", overview))
    for feed, sheets in feeds:
        key = f"single-line-{feed.ref.lower()}"
        sections.append(_drawn(key, f"Single line, feed {feed.ref}: {feed.name}", sheets))
    return sections


def _drawn(key: str, title: str, pictures: list[Picture]) -> Section:
    return section(key, title, "single_line", drawings=[drawing(picture) for picture in pictures])


def drawing(picture: Picture) -> dict[str, str]:
    """A picture as the printed sheet takes it: its SVG, and words for who cannot see it."""
    svg = render_to_string(PICTURE, {"picture": picture, "print": True})
    return {"svg": svg, "alt": f"{picture.title}. {picture.words}"}


def demand(found: Review) -> dict[str, Any]:
    """Demand against supply as drawing and table; both empty without modes."""
    bars = mode_rows(found)
    picture = energy_picture(bars)
    table = [
        [
            row.bar.name,
            *(ampere(amps) for amps in (*row.bar.amps, row.bar.total_a)),
            "–" if row.bar.limit_a is None else ampere(row.bar.limit_a),
        ]
        for row in bars
    ]
    return {"drawings": [drawing(picture)] if picture else [], "table": table}


def axle_loads(unit: Unit) -> dict[str, Any]:
    """Axle loads as drawing and table; both empty while weights are missing."""
    rows = axle_rows(unit.job, unit)
    picture = axle_picture(rows)
    table = [
        [
            axle.name,
            *(f"{lb:,.0f} lb" for lb in (axle.received_lb, axle.added_lb, axle.carried_lb)),
            f"{axle.total_lb:,.0f} lb",
            axle.of_rating,
        ]
        for axle in rows or ()
    ]
    return {"drawings": [drawing(picture)] if picture else [], "table": table}
