"""From a document's row to its file: sections to sheets, sheets to one PDF."""

from collections.abc import Callable, Mapping
from io import BytesIO
from typing import Any

import pikepdf
from pikepdf import Dictionary, Name, Pdf, String

from jobs.documents.attached import AttachedError, attached_bytes
from jobs.documents.cache import has_section
from jobs.documents.files import publish
from jobs.documents.merge import Part, join, open_part
from jobs.documents.models import Document
from jobs.documents.render import RenderError
from jobs.documents.sections import Section, fetch, prepare
from jobs.documents.sharing import make_missing
from jobs.documents.stamp import Alphabet, alphabet_section, stamp

__all__ = ["RenderError", "build"]

CONTENTS = "print/contents.html"
MOST_PASSES = 3
Tell = Callable[[int, str], None]


def build(document: Document, *, tell: Tell) -> dict[str, Any]:
    """Make the file. Returns what the row records about it."""
    sections = {
        number: prepare(document, number)
        for number, section in enumerate(document.context)
        if section["template"] != CONTENTS
    }
    missing = {n: section for n, section in sections.items() if not has_section(section.key)}
    if missing:
        make_missing(document, missing, tell=tell)
    total = len(document.context)
    tell(total, "Joining the sections")
    parts = _number(_open(document, sections))
    whole = join(parts)
    alphabet = Alphabet(fetch(alphabet_section(document)))
    stamp(whole, parts, document.frame, alphabet)
    _describe(whole, document)
    pdf = _save(whole)
    return {
        "file_sha256": publish(pdf),
        "size_bytes": len(pdf),
        "page_count": len(whole.pages),
        "sections_done": total,
    }


def _open(document: Document, sections: dict[int, Section]) -> list[Part]:
    """All sections in order; the contents, made last, because they need the others' sheets."""
    parts = {
        number: open_part(document.context[number], fetch(section))
        for number, section in sections.items()
    }
    for number in range(len(document.context)):
        if number not in parts:
            parts[number] = _contents(document, number, parts)
    return [parts[number] for number in sorted(parts)]


def _contents(document: Document, number: int, parts: dict[int, Part]) -> Part:
    """The contents list. It counts its own sheets too, so its length is tried until it holds."""
    length = 1
    for _ in range(MOST_PASSES):
        entries = _entries(document, number, parts, length)
        section = prepare(document, number, entries=entries)
        part = open_part(document.context[number], fetch(section))
        if part.page_count == length:
            return part
        length = part.page_count
    raise RenderError(f"{section.words}: the contents list does not settle at a length.")


def _entries(
    document: Document, contents: int, parts: dict[int, Part], length: int
) -> list[dict[str, Any]]:
    """Title and first sheet of everything behind the contents."""
    entries, sheet = [], 1
    for number, section in enumerate(document.context):
        if number > contents:
            entries.append({"key": section["key"], "title": section["title"], "sheet": sheet})
        sheet += length if number == contents else parts[number].page_count
    return entries


def _number(parts: list[Part]) -> list[Part]:
    sheet = 0
    for part in parts:
        part.first_page = sheet
        sheet += part.page_count
    return parts


def _describe(whole: Pdf, document: Document) -> None:
    """Title, language, how to open it, and the attached data files."""
    whole.Root.Lang = String("en-US")
    whole.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    whole.Root.PageMode = Name.UseOutlines
    whole.docinfo[Name.Title] = document.title
    with whole.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        metadata["dc:title"] = document.title
        metadata["dc:language"] = ["en-US"]
    for attachment in document.attachments:
        whole.attachments[attachment["name"]] = pikepdf.AttachedFileSpec(
            whole,
            _content(attachment),
            filename=attachment["name"],
            mime_type=attachment["media_type"],
            description=attachment.get("description", attachment["name"]),
            relationship=Name.Data,
        )


def _content(attachment: Mapping[str, str]) -> bytes:
    """Text that stands in the row, or a kept file."""
    if "sha256" not in attachment:
        return attachment["text"].encode()
    try:
        return attached_bytes(attachment["sha256"])
    except AttachedError as error:
        raise RenderError(f"{attachment['name']}: {error}.") from None


def _save(whole: Pdf) -> memoryview:
    target = BytesIO()
    whole.save(
        target,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        deterministic_id=True,
        min_version="1.7",
    )
    return target.getbuffer()
