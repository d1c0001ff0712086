"""The demo's finished vehicle: where things are, where they came from, and one visit later."""

from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.utils import timezone

from inspections.as_built.actions import add_pins, add_place, add_place_photos, record_origin
from inspections.as_built.label import label_of
from inspections.demo.cards import card, draw_paper
from inspections.demo.rows import read
from inspections.manuals.actions import add_manual
from inspections.models import Case
from inspections.service.actions import (
    change_as_built,
    close_case,
    open_case,
    swap_part,
    write_case,
)
from jobs.models import Unit


def place_things(unit: Unit, people: dict[str, User]) -> None:
    """Places with photos of what trim hides now, pin tables, origins, and the label."""
    data = read("service")
    circuits = {circuit.ref: circuit for circuit in unit.job.circuits.all()}
    for row in data["places"]:
        place = add_place(
            unit=unit,
            by=people["juno"],
            circuits=[circuits[ref] for ref in row["circuits"]],
            **{name: row[name] for name in ("kind", "ref", "name", "zone", "where", "hidden")},
        )
        photo = card(row["photo"], f"{unit.number} {row['ref']}", people["juno"])
        add_place_photos(
            place=place,
            photos=[photo],
            caption=row["photo"],
            for_customer=row["show"],
            by=people["juno"],
        )
        if "pins" in row:
            _pins(place, row["pins"], circuits, people["juno"])
    record_origins(unit, data["origins"], people)
    _manuals(unit, data["manuals"], people["pell"])
    label_of(unit)


def _pins(place: Any, rows: list[list[str]], circuits: dict[str, Any], by: User) -> None:
    names = ("number", "circuit", "function", "conductor")
    pins = [dict(zip(names, row, strict=True)) for row in rows]
    for pin in pins:
        pin["circuit"] = circuits.get(pin["circuit"])
    add_pins(place=place, rows=pins, by=by)


def _manuals(unit: Unit, rows: list[list[str]], by: User) -> None:
    for ref, kind, title in rows:
        line = unit.job.lines.select_related("part__part").get(ref=ref)
        paper = draw_paper(title, f"{line.part.part.code} {line.part.description}")
        file = SimpleUploadedFile("paper.pdf", paper, content_type="application/pdf")
        add_manual(part=line.part.part, kind=kind, title=title, file=file, by=by)


def record_origins(unit: Unit, rows: list[list[str]], people: dict[str, User]) -> None:
    for kind, ref, value, day, note in rows:
        record_origin(
            unit=unit,
            by=people["dag"],
            kind=kind,
            line=unit.job.lines.filter(ref=ref).first(),
            value=value,
            on=date.fromisoformat(day),
            note=note,
        )


@transaction.atomic
def visit(unit: Unit, people: dict[str, User]) -> Case:
    """One warranty visit after acceptance. Asked again, nothing happens twice."""
    if (had := unit.cases.first()) is not None:
        return had
    facts = read("service")["case"]
    by = people["juno"]
    circuit = unit.job.circuits.get(ref=facts["circuit"])
    case = open_case(
        unit=unit,
        by=by,
        on=timezone.localdate(),
        circuit=circuit,
        **{name: facts[name] for name in ("symptom", "conditions", "odometer_mi")},
    )
    names = ("found", "cause", "done", "minutes", "claim", "claim_note")
    write_case(case=case, version=0, values={name: facts[name] for name in names}, by=by)
    ref, out, new = facts["swap"]
    swap_part(case=case, line=unit.job.lines.get(ref=ref), serial_out=out, serial_in=new, by=by)
    ref, what, value, reason = facts["change"]
    changed = unit.job.circuits.get(ref=ref)
    change_as_built(case=case, circuit=changed, what=what, value=value, reason=reason, by=by)
    return close_case(case=case, by=by)
