"""Packet sections that are drawings."""

from django.template.loader import render_to_string

from inspections.handover.facts import Section, section
from jobs.build_sheet.balances import axle_picture, axle_rows, energy_picture, mode_rows
from jobs.build_sheet.diagrams import single_line as diagrams_of
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.review import Review
from jobs.models import Job, Unit

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


def energy_drawings(found: Review) -> list[dict[str, str]]:
    """Demand against supply; nothing without modes."""
    picture = energy_picture(mode_rows(found))
    return [drawing(picture)] if picture else []


def axle_drawings(unit: Unit) -> list[dict[str, str]]:
    """Axle loads against their ratings; nothing while weights are missing."""
    picture = axle_picture(axle_rows(unit.job, unit))
    return [drawing(picture)] if picture else []
