"""What the makers of the fitted parts say: listed in the packet, and inside it as files."""

from typing import Any

from inspections.handover.facts import Section, section
from inspections.manuals.models import Manual
from jobs.build_sheet.unit_lines import lines_of
from jobs.models import Unit

# A packet goes by mail; what does not fit is named with where it can be had.
MOST_BYTES = 40 * 1024 * 1024


def maker_documents(unit: Unit) -> tuple[Section | None, list[dict[str, str]]]:
    """The list of all documents, and those that go along as attachments."""
    lines: dict[int, list[str]] = {}
    for line in lines_of(unit):
        lines.setdefault(line.part.part_id, []).append(line.ref)
    found = Manual.objects.filter(part__in=lines, removed_at=None).select_related("part__current")
    rows, files, room = [], [], MOST_BYTES
    for manual in found.order_by("part__code", "id"):
        fits = manual.size_bytes <= room
        room -= manual.size_bytes if fits else 0
        rows.append(_row(manual, lines[manual.part_id], fits))
        if fits:
            files.append(
                {
                    "name": manual.file_name,
                    "media_type": "application/pdf",
                    "sha256": manual.sha256,
                    "description": f"{manual.part.code}: {manual.title}",
                }
            )
    return (section("makers", "Makers' documents", "makers", rows=rows) if rows else None), files


def _row(manual: Manual, refs: list[str], fits: bool) -> dict[str, Any]:
    return {
        "lines": ", ".join(sorted(refs)),
        "part": f"{manual.part.code} {manual.part.current.description}",
        "title": manual.title,
        "kind": manual.get_kind_display(),
        "file": manual.file_name if fits else "ask the shop for it; too large to go along",
    }
