"""The whole packet as plain data, gathered once from the rows."""

import hashlib
import json
from dataclasses import asdict, dataclass
from typing import Any

from catalog.sheets import csv_lines
from inspections.as_built.current import AsBuilt
from inspections.handover import design_sections as design
from inspections.handover import drawings, facts
from inspections.handover import quality_sections as quality
from inspections.handover import record_sections as record
from inspections.handover import vehicle_sections as vehicle
from inspections.handover.facts import Section, section
from inspections.handover.logic_files import CSV_END, JSON_END, logic_files
from inspections.handover.maker_sections import maker_documents
from jobs.build_sheet.review import Review
from jobs.electrical.design_json import to_json
from jobs.models import Unit


@dataclass(frozen=True, kw_only=True, slots=True)
class PacketContents:
    sections: list[Section]
    attachments: list[dict[str, str]]
    sha256: str


def gather(unit: Unit, *, revision: int) -> PacketContents:
    """Everything the packet says. `sha256` covers all of it but the cover that prints it."""
    built = AsBuilt(unit)
    found = built.review()
    checks = quality.checks_of(unit)
    makers, files = maker_documents(unit)
    attachments = [*_attachments(unit, found, checks, built), *files]
    body = [
        vehicle.emergency(unit, [row.item for row in found.feeds]),
        facts.summary(unit),
        record.build_record(unit, built),
        vehicle.walk_round(unit),
        design.equipment(unit),
        *design.schedules(unit.job, found, quality.measured_values(checks)),
        *drawings.single_line(unit.job, found),
        vehicle.legends(built),
        vehicle.nodes(built),
        vehicle.pins(unit),
        vehicle.grounds(unit),
        vehicle.routes(unit),
        record.control_guide(unit.job),
        design.control(unit.job),
        facts.hazards(unit),
        design.energy(unit.job, found),
        design.weights(unit, found),
        record.placards(unit),
        *quality.readings(checks),
        quality.deviations(unit, design.deviations_of_design(found)),
        quality.photos(unit, checks),
        facts.care(unit),
        makers,
        section("attachments", "Attachments", "attachments", files=_named(attachments)),
    ]
    kept = [one for one in body if one is not None]
    digest = digest_of({"sections": kept, "attachments": attachments})
    contents = {
        "key": "contents",
        "title": "Contents",
        "template": "print/contents.html",
        "data": {},
    }
    return PacketContents(
        sections=[facts.cover(unit, revision, digest), contents, *kept],
        attachments=attachments,
        sha256=digest,
    )


def digest_of(content: Any) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()


def _attachments(
    unit: Unit, found: Review, checks: list[Any], built: AsBuilt
) -> list[dict[str, str]]:
    name = f"{unit.job.number}-{unit.number}"
    table = ""
    measured = quality.measured_values(checks)
    rows = [
        design.schedule_row(row, measured.get(row.item.ref, {})) | {"feed": row.item.feed.ref}
        for row in found.circuits
    ]
    if rows:
        lines = csv_lines(rows[0], (row.values() for row in rows))
        table = "".join(lines).removeprefix("\ufeff")
    data = {
        "design": to_json(found.design),
        "findings": design.as_data(found),
        "vin": unit.vin,
        "unit": unit.number,
        "as_built_revision": built.number,
        "changes": [asdict(change) for change in built.changes],
        "places": [
            {"ref": row.ref, "kind": row.kind, "zone": row.zone, "where": row.where}
            for row in unit.places.order_by("ref")
        ],
    }
    return [
        {"name": f"{name}-circuits.csv", "media_type": "text/csv", "text": table},
        {"name": f"{name}-equipment.csv", "media_type": "text/csv", "text": _equipment(unit)},
        {
            "name": f"{name}-as-built.json",
            "media_type": "application/json",
            "text": json.dumps(data, indent=1, ensure_ascii=False, default=str),
        },
        *logic_files(unit.job, name),
    ]


def _equipment(unit: Unit) -> str:
    heads = ("line", "code", "description", "quantity", "serial")
    rows = [
        (row.line.ref, row.line.part.part.code, row.line.part.description, "1", row.serial)
        for row in unit.serials.select_related("line__part__part").order_by("line__ref", "serial")
    ]
    return "".join(csv_lines(heads, rows)).removeprefix("\ufeff")


def _named(attachments: list[dict[str, str]]) -> list[dict[str, str]]:
    words = {
        "circuits.csv": "Circuit schedule as a table",
        "equipment.csv": "Serial numbers as a table",
        "as-built.json": "Design, findings, places and changes as data",
        CSV_END: "Channels, pins and SHA-256 of the control logic as a table",
        JSON_END: "The same as data",
        ".pdf": "Maker's document",
    }
    return [
        {"name": one["name"], "what": one.get("description") or what}
        for one in attachments
        for end, what in words.items()
        if one["name"].endswith(end)
    ]
