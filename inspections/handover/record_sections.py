"""Packet sections of the build's own story: ordered, designed, changed; control guide; placards."""

from dataclasses import asdict
from typing import Any

from inspections.as_built.current import AsBuilt
from inspections.handover.facts import Section, day, section
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.unit_lines import lines_of
from jobs.controls.codec import from_json
from jobs.controls.guide import guide
from jobs.models import Job, Unit
from jobs.quoting.contract import contract_of
from jobs.templatetags.units import inches, pounds


def build_record(unit: Unit, built: AsBuilt) -> Section:
    """As ordered, as designed, as built, and where what was built in came from."""
    return section(
        "build-record",
        "Build record",
        "build_record",
        ordered=_ordered(unit.job),
        designs=[
            {
                "number": str(row.number),
                "note": row.note,
                "made": f"{row.made_by}, {day(row.made_at)}",
                "released": f"{row.released_by}, {day(row.released_at)}"
                if row.released_at
                else "not released",
            }
            for row in unit.job.design_revisions.order_by("number")
        ],
        revision=built.number,
        changes=[
            {
                "revision": str(change.revision),
                "about": change.about,
                "what": change.name,
                "was": change.was,
                "now": change.now,
                "why": f"{change.reason}; {change.by}, {day(change.at)}",
            }
            for change in built.changes
        ],
        origins=[
            {
                "kind": row.get_kind_display(),
                "value": row.value,
                "on": day(row.on),
                "about": f"{row.line.ref} {row.line.part.description}" if row.line else "–",
                "note": row.note or "–",
            }
            for row in unit.origins.select_related("line__part").order_by("on", "pk")
        ],
    )


def _ordered(job: Job) -> list[list[str]]:
    contract = contract_of(job)
    if contract is None:
        return [["Quote", "not approved yet"]]
    decision = getattr(contract.quote, "decision", None)
    by = f", approved by {decision.name}, {day(decision.at)}" if decision else ""
    rows = [["As ordered", f"Quote revision {contract.quote.revision}{by}"]]
    rows += [[str(change), f"{change.title}, approved"] for change in contract.changes]
    return rows


def control_guide(job: Job) -> Section | None:
    """For the crew: what each control does, what is locked out and why, alarms and what to do."""
    kept = released_logic(job) or job.logic_versions.last()
    if kept is None:
        return None
    found: dict[str, Any] = asdict(guide(from_json(kept.logic)))
    if not any(found[name] for name in ("controls", "alarms", "lock_outs")):
        return None
    return section("guide", "Control guide", "guide", draft=kept.released_at is None, **found)


def placards(unit: Unit) -> Section:
    """Text for the placards. The vehicle is measured before one is written."""
    lines = lines_of(unit, z_mm__isnull=False)
    highest = max(lines, key=lambda line: line.z_mm or 0, default=None)
    tallest = f"{highest.ref} at {inches(highest.z_mm)}" if highest else "not entered"
    scale = unit.scale_front_g is not None and unit.scale_rear_g is not None
    empty = (unit.scale_front_g or 0) + (unit.scale_rear_g or 0)
    rows = [
        ["Highest part on the build sheet", tallest],
        ["Gross vehicle weight rating", pounds(unit.gvwr_g)],
        ["Axle ratings front, rear", f"{pounds(unit.gawr_front_g)}, {pounds(unit.gawr_rear_g)}"],
        ["Weighed empty, finished", pounds(empty) if scale else "no scale ticket on record"],
        ["Seating positions", str(unit.seats or "not entered")],
    ]
    return section("placards", "Placards and labels", "placards", rows=rows, used=unit.used)
