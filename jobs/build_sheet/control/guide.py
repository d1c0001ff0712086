"""The control guide for the crew: as a page, and printed."""

from typing import Any

from jobs.build_sheet.models import ControlLogic
from jobs.controls.codec import from_json
from jobs.controls.guide import Guide, guide
from jobs.documents.actions import request_document
from jobs.documents.frame import frame
from jobs.documents.models import Document
from jobs.people.models import Shop

Facts = dict[str, Any]
LEAD = (
    "For the crew. It says what the control system does as it was programmed. It replaces neither "
    "training nor the instructions of the makers of vehicle and equipment. If the vehicle does "
    "something else than stands here, stop using the function and tell the shop."
)


def guide_of(kept: ControlLogic) -> Guide:
    return guide(from_json(kept.logic))


def is_empty(found: Guide) -> bool:
    return not (found.controls or found.alarms or found.lock_outs)


def request_guide(kept: ControlLogic) -> Document:
    """Queue the printed guide of a version; the same text is printed once."""
    job, shop = kept.job, Shop.objects.get(pk=1)
    document = request_document(
        kind="guide",
        title=f"Control guide of {job.number}, logic {kept.version}",
        file_name=f"{job.number}-control-guide.pdf",
        sections=sections_of(kept),
        frame=frame(
            page_size=shop.page_size,
            mark=f"Job {job.number} · Control logic {kept.version}",
            state="Released" if kept.is_released else "Not released",
            draft=not kept.is_released,
        ),
    )
    ControlLogic.objects.filter(pk=kept.pk).update(guide=document)
    return document


def sections_of(kept: ControlLogic) -> list[Facts]:
    found = guide_of(kept)
    sections = [_section("controls", "Buttons and positions", _controls(kept, found))]
    if tables := [table for table in (_cautions(found), _alarms(found), _locked(found)) if table]:
        title = "Cautions, alarms and lock-outs"
        sections.append(_section("alarms", title, {"tables": tables}))
    return sections


def _section(key: str, title: str, data: Facts) -> Facts:
    return {"key": key, "title": title, "template": "print/section.html", "data": data}


def _controls(kept: ControlLogic, found: Guide) -> Facts:
    facts = [
        {"label": "Job", "value": f"{kept.job.number} {kept.job.title}"},
        {"label": "Control logic", "value": kept.version},
        {"label": "SHA-256", "value": kept.sha256, "mono": True},
    ]
    rows = [
        [_control_name(each.label, each.positions), " ".join((*each.works, *each.cautions))]
        for each in found.controls
    ]
    table = _table("", [("Control", 28), ("What it does", 72)], rows)
    return {"lead": LEAD, "facts": facts, "tables": [table] if rows else []}


def _control_name(label: str, positions: tuple[str, ...]) -> str:
    name = label[:1].upper() + label[1:]
    return f"{name}: {', '.join(positions)}" if positions else name


def _alarms(found: Guide) -> Facts:
    rows = [
        [each.label[:1].upper() + each.label[1:], each.when, each.what_to_do or "–"]
        for each in found.alarms
    ]
    heads = [("Alarm", 22), ("When", 40), ("What to do", 38)]
    return _table("Alarms and what to do", heads, rows) if rows else {}


def _locked(found: Guide) -> Facts:
    rows = [[each.rule, each.why] for each in found.lock_outs]
    return _table("What is locked out, and why", [("What", 60), ("Why", 40)], rows) if rows else {}


def _cautions(found: Guide) -> Facts:
    rows = [[each.subject, each.text] for each in found.cautions]
    return _table("Cautions", [("About", 28), ("Caution", 72)], rows) if rows else {}


def _table(caption: str, heads: list[tuple[str, int]], rows: list[list[str]]) -> Facts:
    columns = [{"title": title, "width": width} for title, width in heads]
    return {"caption": caption, "columns": columns, "rows": rows}
