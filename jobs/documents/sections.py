"""One section of a document: from its data to HTML, and from there to a cached PDF."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string

from jobs.documents.cache import get_section, put_section
from jobs.documents.fingerprint import canonical, tools
from jobs.documents.models import Document
from jobs.documents.pictures import assets_of, picture_digests
from jobs.documents.render import RenderError, render

# Laying out a photo costs about as much as this much text.
PHOTO_WEIGHT = 3000


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """A section ready to be rendered. Equal keys give equal bytes."""

    number: int
    title: str
    html: str
    drawings: Mapping[str, str]
    digests: Mapping[str, str]
    page_size: str
    key: str

    @property
    def weight(self) -> int:
        return len(self.html) + PHOTO_WEIGHT * len(self.digests)


def words(document: Document, number: int) -> str:
    """How people are told about a section: "Section 3 of 9: Circuit schedules"."""
    total = len(document.context)
    return f"Section {number + 1} of {total}: {document.context[number]['title']}"


def prepare(document: Document, number: int, **more: Any) -> Section:
    """Fill in the template. `more` is what only the finished document knows."""
    section = document.context[number]
    drawings: dict[str, str] = {}
    context = {**section["data"], "section": section, "drawings": drawings, **more}
    html = render_to_string(section["template"], context)
    try:
        return section_of(
            number=number,
            title=section["title"],
            html=html,
            page_size=document.frame.get("page_size", "letter"),
            drawings=drawings,
        )
    except RenderError as error:
        raise RenderError(f"{words(document, number)}: {error}.") from None


def section_of(
    *, number: int, title: str, html: str, page_size: str, drawings: Mapping[str, str] | None = None
) -> Section:
    """A section and its key, which covers the bytes of every picture, the styles and the tools."""
    drawings = drawings or {}
    digests = picture_digests(html, drawings)
    return Section(
        number=number,
        title=title,
        html=html,
        drawings=drawings,
        digests=digests,
        page_size=page_size,
        key=hashlib.sha256(canonical([html, page_size, digests, tools()])).hexdigest(),
    )


def make(document: Document, section: Section) -> bytes:
    """Render a section and keep it. Errors name the section."""
    try:
        assets = assets_of(section.digests, section.drawings)
        pdf = render(section.html, key=section.key, assets=assets, page_size=section.page_size)
    except RenderError as error:
        raise RenderError(f"{words(document, section.number)}: {error}.") from None
    put_section(section.key, pdf)
    return pdf


def fetch(document: Document, section: Section) -> bytes:
    """A section's PDF: kept from before, or made now."""
    return get_section(section.key) or make(document, section)
