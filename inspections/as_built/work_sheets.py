"""Paper for the bay where a tablet is not at hand: parts to pick, and one stage at a time."""

from typing import Any

from jobs.build_sheet.tracing import place_of
from jobs.build_sheet.unit_lines import lines_of
from jobs.models import BuildLine, Stage, Unit
from jobs.templatetags.units import hours

Section = dict[str, Any]


def _section(key: str, title: str, **data: Any) -> Section:
    return {"key": key, "title": title, "template": "print/section.html", "data": data}


def _parts(lines: list[BuildLine], caption: str) -> dict[str, Any]:
    return {
        "caption": caption,
        "columns": [
            {"title": "Line", "width": 8, "mono": True},
            {"title": "Pieces", "width": 9, "num": True},
            {"title": "Code", "width": 15, "mono": True},
            {"title": "Part", "width": 30},
            {"title": "Place", "width": 26},
            {"title": "Picked", "width": 12},
        ],
        "rows": [
            [
                line.ref,
                str(line.quantity),
                line.part.part.code,
                line.part.description,
                place_of(line),
                "______",
            ]
            for line in lines
        ],
    }


def pick_sheet(unit: Unit) -> list[Section]:
    """Every part of the job by the stage that fits it; agency equipment is named as such."""
    names = {stage.code: stage.name for stage in unit.stages.order_by("position")}
    groups: dict[str, list[BuildLine]] = {code: [] for code in names}
    for line in lines_of(unit):
        groups.setdefault(line.stage, []).append(line)
    tables = [
        _parts(lines, f"{code} {names.get(code, '')}".strip() or "No stage yet")
        for code, lines in groups.items()
        if lines
    ]
    title = f"Pick sheet, unit {unit.number}"
    return [_section("pick", title, tables=tables)] if tables else []


def stage_sheet(stage: Stage) -> list[Section]:
    """One stage: cautions first, then what to do, the parts, the checks and who signs."""
    unit = stage.unit
    cautions = [
        {**{k: v for k, v in one.items() if k != "word"}, "signal": one["word"].lower()}
        for one in stage.cautions
    ]
    lines = lines_of(unit, stage=stage.code)
    checks = stage.checks.filter(retired=False).order_by("position")
    table = {
        "caption": "Checks",
        "columns": [
            {"title": "Check", "width": 13, "mono": True},
            {"title": "What", "width": 32},
            {"title": "Expected", "width": 33},
            {"title": "Found", "width": 12},
            {"title": "By", "width": 10},
        ],
        "rows": [[one.ref, one.title, one.expected_text, "", ""] for one in checks],
    }
    tables = ([_parts(lines, "Parts")] if lines else []) + ([table] if table["rows"] else [])
    people = ", ".join(person.get_full_name() for person in stage.people.all()) or "nobody yet"
    facts = [
        {"label": "People", "value": people},
        {"label": "Planned", "value": hours(stage.planned_minutes)},
        {"label": "Holds", "value": "; ".join(h.requirement for h in stage.holds.all()) or "none"},
    ]
    title = f"{stage.code} {stage.name}, unit {unit.number}"
    return [
        # Two panels a sheet at most, so that each is read.
        *(
            _section(f"cautions-{number}", title, hazards=cautions[number : number + 2])
            for number in range(0, len(cautions), 2)
        ),
        _section(
            "work",
            title,
            facts=facts,
            paragraphs=stage.instructions.splitlines(),
            tables=tables,
        ),
    ]
