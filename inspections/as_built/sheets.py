"""Small documents of a unit: QR and wire labels, panel legends, pick and stage sheets."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.as_built.current import AsBuilt
from inspections.as_built.label import address, grouped, label_of, qr_svg
from inspections.as_built.legends import legend_panels
from inspections.as_built.models import Sheet
from inspections.as_built.work_sheets import pick_sheet, stage_sheet
from jobs.audit.record import display_name, record
from jobs.documents.actions import request_document
from jobs.documents.frame import frame
from jobs.models import Shop, Unit

Section = dict[str, Any]
# Rows that fit a label at 11 pt, and letters that fit a line of it.
LEGENDS = {"legends-100x50": ("label-100x50", 7, 20), "legends-57x32": ("label-57x32", 4, 13)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    title: str
    what: str
    make: Callable[[Unit], list[Section]]


def section(key: str, title: str, template: str, **data: Any) -> Section:
    template = f"inspections/as_built/pdf/{template}.html"
    return {"key": key, "title": title, "template": template, "data": data}


def _qr(unit: Unit) -> list[Section]:
    label = label_of(unit)
    shop = Shop.objects.get(pk=1)
    facts = {
        "qr": qr_svg(label.code),
        "code": grouped(label.code),
        "address": address(label.code),
        "shop": shop.name,
        "phone": shop.phone,
    }
    return [
        section("panel", "Panel label, 57 × 32 mm", "qr_label", size="label-57x32", **facts),
        section("door", "Door label, 100 × 50 mm", "qr_label", size="label-100x50", **facts),
    ]


def _wires(unit: Unit) -> list[Section]:
    """Each conductor twice: a label for either end."""
    labels = [
        {
            "label": circuit.label or circuit.ref,
            "line": f"{circuit.feed.ref} · {circuit.awg or '?'} {circuit.colour}".strip(),
            "name": circuit.designation[:28],
        }
        for circuit in AsBuilt(unit).circuits
        for _ in range(2)
    ]
    return [section("wires", "Wire labels", "wire_labels", labels=labels)] if labels else []


def _legends(key: str) -> Callable[[Unit], list[Section]]:
    size, rows, letters = LEGENDS[key]

    def make(unit: Unit) -> list[Section]:
        built = AsBuilt(unit)
        corner = f"{unit.number} · r{built.number} · {timezone.localdate():%-d %b %Y}"
        return [
            section(
                f"panel-{panel['ref'].lower()}",
                f"Legend of panel {panel['ref']}",
                "legend_label",
                size=size,
                panel={
                    "ref": panel["ref"],
                    "name": _cut(panel["name"], letters),
                    "amps": panel["amps"],
                },
                labels=list(_labels(panel["rows"], rows, letters)),
                corner=corner,
            )
            for panel in legend_panels(built.circuits)
        ]

    return make


def _labels(rows: Sequence[dict[str, str]], most: int, letters: int) -> Iterator[list[Any]]:
    for start in range(0, len(rows), most):
        yield [{**row, "name": _cut(row["name"], letters)} for row in rows[start : start + most]]


def _cut(words: str, letters: int) -> str:
    return words if len(words) <= letters else words[: letters - 1].rstrip() + "…"


KINDS = {
    "qr": Kind(title="QR labels", what="for a panel (22 mm) and the door (30 mm)", make=_qr),
    "wires": Kind(title="Wire labels", what="each conductor twice, to cut out", make=_wires),
    "legends-100x50": Kind(
        title="Panel legends, 100 × 50 mm", what="one label after the other",
        make=_legends("legends-100x50"),
    ),
    "legends-57x32": Kind(
        title="Panel legends, 57 × 32 mm", what="one label after the other",
        make=_legends("legends-57x32"),
    ),
    "pick": Kind(title="Pick sheet", what="parts by stage, to tick off", make=pick_sheet),
}  # fmt: skip


class SheetError(Exception):
    """Why a sheet cannot be made, as a sentence."""


def kind_of(unit: Unit, key: str) -> Kind | None:
    """The kind behind a key; stage sheets are `stage-` and the stage's code."""
    if key in KINDS:
        return KINDS[key]
    stage = unit.stages.filter(code=key.removeprefix("stage-")).first()
    if stage is None or not key.startswith("stage-"):
        return None
    return Kind(
        title=f"Stage sheet {stage.code}", what=stage.name, make=lambda _: stage_sheet(stage)
    )


def print_sheet(*, unit: Unit, key: str, by: User) -> Sheet:
    """Ask for a small document as the data stand; unchanged data give the same file."""
    kind = kind_of(unit, key)
    sections = kind.make(unit) if kind else []
    if kind is None or not sections:
        raise SheetError("There is nothing to print yet: the job has no circuit or line for it.")
    number = unit.job.number
    with transaction.atomic():
        document = request_document(
            kind="sheet",
            title=f"{kind.title}, {number} {unit.number}",
            file_name=f"{key}-{number}-{unit.number}.pdf",
            sections=sections,
            frame=frame(
                page_size=Shop.objects.get(pk=1).page_size,
                mark=f"Job {number} · Unit {unit.number} · {timezone.localdate():%Y-%m-%d}",
            ),
        )
        sheet, _ = Sheet.objects.update_or_create(
            unit=unit, key=key, defaults={"document": document, "asked_by": display_name(by)}
        )
        sentence = f"{kind.title} of {unit.number} asked for."
        record(by=by, verb="printed", subject=sheet, job=number, sentence=sentence)
    return sheet
