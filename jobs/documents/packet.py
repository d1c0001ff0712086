"""From a document's row to its file: sections to HTML, HTML to sheets, sheets to one PDF."""

from collections.abc import Callable
from typing import Any

from django.template.loader import render_to_string

from jobs.documents.assets import assets_of
from jobs.documents.files import publish
from jobs.documents.merge import join
from jobs.documents.models import Document
from jobs.documents.render import RenderError, Sheet, render

__all__ = ["RenderError", "build"]

Tell = Callable[[int, str], None]


def build(document: Document, *, tell: Tell) -> dict[str, Any]:
    """Make the file. Returns what the row records about it."""
    sections = document.context
    sheets = []
    for number, section in enumerate(sections, start=1):
        words = f"Section {number} of {len(sections)}: {section['title']}"
        tell(number - 1, words)
        try:
            sheets.append(_sheet(section, document))
        except RenderError as error:
            raise RenderError(f"{words}: {error}.") from None
    tell(len(sections), "Joining the sections")
    pdf = join(sections=sections, sheets=sheets, document=document)
    return {
        "file_sha256": publish(pdf),
        "size_bytes": len(pdf),
        "page_count": sum(sheet.page_count for sheet in sheets),
        "sections_done": len(sections),
    }


def _sheet(section: dict[str, Any], document: Document) -> Sheet:
    html, drawings = section_html(section, document)
    return render(
        html,
        assets=assets_of(html, drawings),
        page_size=document.frame.get("page_size", "letter"),
    )


def section_html(section: dict[str, Any], document: Document) -> tuple[str, dict[str, str]]:
    """One section as HTML, and the drawings it shows by their SHA-256."""
    drawings: dict[str, str] = {}
    context = {
        **section["data"],
        "section": section,
        "document_title": document.title,
        "frame": document.frame,
        "drawings": drawings,
    }
    return render_to_string(section["template"], context), drawings
