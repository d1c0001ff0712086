"""Packet sections that are drawings."""

from django.template.loader import render_to_string

from inspections.handover.facts import Section, section
from jobs.build_sheet.diagrams import single_line as diagrams_of
from jobs.build_sheet.pictures.shapes import Picture
from jobs.build_sheet.review import Review
from jobs.models import Job

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
    drawings = [
        {
            "svg": render_to_string(PICTURE, {"picture": picture, "print": True}),
            "alt": f"{picture.title}. {picture.words}",
        }
        for picture in pictures
    ]
    return section(key, title, "single_line", drawings=drawings)
