"""Joining sections into one PDF that keeps one structure tree."""

from io import BytesIO
from typing import Any

import pikepdf

from jobs.documents.models import Document
from jobs.documents.render import Sheet


def join(*, sections: list[dict[str, Any]], sheets: list[Sheet], document: Document) -> bytes:
    """One PDF of all sheets with an outline entry a section."""
    whole = pikepdf.new()
    with whole.open_outline() as outline:
        for section, sheet in zip(sections, sheets, strict=True):
            outline.root.append(pikepdf.OutlineItem(section["title"], len(whole.pages)))
            with pikepdf.open(BytesIO(sheet.pdf)) as part:
                whole.pages.extend(part.pages)
    whole.Root.Lang = pikepdf.String("en-US")
    whole.docinfo["/Title"] = document.title
    target = BytesIO()
    whole.save(target, deterministic_id=True)
    return target.getvalue()
