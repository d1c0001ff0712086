"""One section of a document: what decides its look, its HTML, and its PDF in the cache."""

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string

from jobs.documents.cache import get_section, put_section
from jobs.documents.fingerprint import canonical, template_digest, tools
from jobs.documents.models import Document
from jobs.documents.pictures import assets_of, photo_digests
from jobs.documents.render import RenderError, render
from jobs.templatetags.printing import PictureError

# Laying out a photo costs about as much as this much text.
PHOTO_WEIGHT = 3000
_SHA256 = re.compile(rb'"([0-9a-f]{64})"')


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """A section ready to be rendered. Equal keys give equal bytes.

    The key covers data, templates, styles, fonts, tools and the bytes of every photo named in the
    data; so a section that was made before is found without even filling in its template.
    """

    words: str
    template: str
    context: Mapping[str, Any]
    photos: Mapping[str, str]
    page_size: str
    weight: int
    key: str


def section_of(*, words: str, template: str, context: Mapping[str, Any], page_size: str) -> Section:
    content = canonical(context)
    photos = photo_digests(sorted({name.decode() for name in _SHA256.findall(content)}))
    look = [template_digest(template), page_size, photos, tools()]
    return Section(
        words=words,
        template=template,
        context=context,
        photos=photos,
        page_size=page_size,
        weight=len(content) + PHOTO_WEIGHT * len(photos),
        key=hashlib.sha256(content + canonical(look)).hexdigest(),
    )


def words(document: Document, number: int) -> str:
    """How people are told about a section: "Section 3 of 9: Circuit schedules"."""
    total = len(document.context)
    return f"Section {number + 1} of {total}: {document.context[number]['title']}"


def prepare(document: Document, number: int, **more: Any) -> Section:
    """A section of a document. `more` is what only the finished document knows."""
    section = document.context[number]
    named = words(document, number)
    try:
        return section_of(
            words=named,
            template=section["template"],
            context={**section["data"], **more, "section": _shared(section)},
            page_size=document.frame.get("page_size", "letter"),
        )
    except RenderError as error:
        raise RenderError(f"{named}: {error}.") from None


def _shared(section: Mapping[str, Any]) -> dict[str, Any]:
    return {"key": section["key"], "title": section["title"]}


def make(section: Section) -> bytes:
    """Render a section and keep it. Errors name the section."""
    drawings: dict[str, str] = {}
    try:
        html = render_to_string(section.template, {**section.context, "_drawings": drawings})
        pdf = render(
            html,
            assets=assets_of(html, drawings, section.photos),
            page_size=section.page_size,
        )
    except (PictureError, RenderError) as error:
        raise RenderError(f"{section.words}: {error}.") from None
    put_section(section.key, pdf)
    return pdf


def fetch(section: Section) -> bytes:
    """A section's PDF: kept from before, or made now."""
    return get_section(section.key) or make(section)
