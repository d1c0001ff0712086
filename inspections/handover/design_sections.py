"""Packet sections from the design: equipment, circuit schedules, legends, energy, weights."""

from dataclasses import asdict
from datetime import date
from typing import Any

from inspections.handover.drawings import axle_loads, demand
from inspections.handover.facts import Section, day, section
from inspections.handover.warranty import began_on, ends_on
from jobs.build_sheet.drafting.gate import Risk, gate_of
from jobs.build_sheet.drafting.release import released_logic
from jobs.build_sheet.drafting.working_out import FOREVER, Kind
from jobs.build_sheet.logic import proofs_of, rule_sentences
from jobs.build_sheet.review import Review, RunRow
from jobs.build_sheet.unit_lines import lines_of
from jobs.build_sheet.weights import SUBJECTS
from jobs.findings import Severity
from jobs.models import Job, Unit
from jobs.templatetags.units import ampere, amps, feet, pounds, severity_word, volts


def equipment(unit: Unit) -> Section:
    """Every fitted part with place, serials and warranty end."""
    begin = began_on(unit)
    serials: dict[int, list[str]] = {}
    for serial in unit.serials.all():
        serials.setdefault(serial.line_id, []).append(serial.serial)
    groups: dict[str, list[dict[str, str]]] = {}
    for line in lines_of(unit):
        groups.setdefault(line.get_section_display(), []).append(
            {
                "ref": line.ref,
                "code": line.part.part.code,
                "description": line.part.description,
                "quantity": str(line.quantity),
                "place": line.access or line.get_zone_display(),
                "serials": ", ".join(serials.get(line.pk, [])) or "–",
                "owner": line.get_ownership_display(),
                "warranty": _warranty(line.part.warranty_months, begin),
            }
        )
    return section(
        "equipment",
        "Equipment and serial numbers",
        "equipment",
        groups=[list(group) for group in groups.items()],
        differences=[str(one) for one in unit.differences.select_related("line")],
    )


def _warranty(months: int | None, begin: date | None) -> str:
    if not months:
        return "–"
    end = ends_on(months, begin)
    return f"to {day(end)}" if end else f"{months} months from acceptance"


def schedules(job: Job, found: Review, measured: dict[str, dict[str, str]]) -> list[Section]:
    """One schedule a feed, so that each panel stands on its own sheet where it can."""
    sections = []
    for feed in found.feeds:
        rows = [
            schedule_row(row, measured.get(row.item.ref, {}))
            for row in found.circuits
            if row.item.feed_id == feed.item.pk
        ]
        sections.append(
            section(
                f"schedule-{feed.item.ref.lower()}",
                f"Circuit schedule, feed {feed.item.ref}: {feed.item.name}",
                "schedule",
                feed=_feed_facts(feed),
                rows=rows,
            )
        )
    return sections


def _feed_facts(row: RunRow) -> dict[str, str]:
    item = row.item
    return {
        "ref": item.ref,
        "supply": item.supply.name,
        "device": f"{amps(item.device_ma)}, {item.get_device_kind_display().lower()}",
        "conductor": f"{item.awg or 'not chosen'} AWG, {feet(item.length_mm)} one way",
        "place": item.panel_place or "–",
        "load": f"{ampere(row.average_a)} average, {ampere(row.peak_a)} peak",
        "drop": _drop(row),
    }


def _drop(row: RunRow) -> str:
    if row.path_drop_v is None:
        return "not known"
    return f"{row.path_drop_v:.2f} V ({row.path_drop_percent:.1f} %)"


def schedule_row(row: RunRow, measured: dict[str, str]) -> dict[str, str]:
    circuit = row.item
    where = f"{circuit.node.ref}.{circuit.channel}" if circuit.node else circuit.channel or "direct"
    return {
        "ref": circuit.ref,
        "designation": circuit.designation,
        "where": where,
        "load": f"{ampere(row.average_a)} / {ampere(row.peak_a)}",
        "duty": "brief" if circuit.intermittent else "steady",
        "device": amps(circuit.device_ma),
        "conductor": f"{circuit.awg or '?'} {circuit.colour}".strip(),
        "length": feet(circuit.length_mm),
        "drop": _drop(row),
        "measured": ", ".join(filter(None, [measured.get("V"), measured.get("A")])) or "–",
        "remark": circuit.note,
    }


def control(job: Job) -> Section | None:
    """What the control system does, what was proved about it and what was accepted instead.

    The released version; before there is one, the newest draft, and it says so.
    """
    kept = released_logic(job) or job.logic_versions.last()
    if kept is None:
        return None
    gate = gate_of(kept, Kind.PROOFS, Kind.FAULTS, seconds=FOREVER)
    return section(
        "control",
        "Control logic",
        "control",
        version=kept.version,
        sha256=kept.sha256,
        made_by=kept.made_by,
        released=f"{kept.released_by}, {day(kept.released_at)}" if kept.released_at else "",
        accepted=[_accepted(risk) for risk in gate.accepted_risks],
        rules=list(rule_sentences(kept)),
        proofs=[asdict(proof) for proof in proofs_of(kept)],
    )


def _accepted(risk: Risk) -> dict[str, str]:
    accepted = risk.accepted
    assert accepted is not None
    return {
        "interlock": risk.interlock,
        "what": risk.what,
        "who": f"{accepted.accepted_by}, {day(accepted.accepted_at)}: {accepted.reason}",
    }


def energy(job: Job, found: Review) -> Section | None:
    """Load analysis per operating mode, with what the checks say about it."""
    modes = [
        {
            "name": mode.name,
            "source": mode.get_source_display(),
            "base": amps(mode.chassis_base_ma),
            "bus": volts(mode.bus_mv),
            "findings": [
                _finding(each)
                for each in found.judged
                if f"{each.finding.subject} ".startswith(f"mode {mode.key} ")
            ],
        }
        for mode in job.modes.all()
    ]
    if not modes:
        return None
    return section("energy", "Load analysis", "energy", modes=modes, **demand(found))


def _finding(judged: Any) -> dict[str, Any]:
    finding = judged.finding
    return {
        "state": str(finding.severity),
        "word": severity_word(finding.severity),
        "subject": finding.called,
        "message": finding.message,
        "accepted": f"{judged.accepted.accepted_by}: {judged.accepted.reason}"
        if judged.accepted
        else "",
    }


def weights(unit: Unit, found: Review) -> Section:
    findings = [_finding(each) for each in found.judged if each.finding.subject in SUBJECTS]
    lines = [
        {
            "ref": line.ref,
            "name": line.part.description,
            "quantity": str(line.quantity),
            "mass": pounds(line.mass),
        }
        for line in lines_of(unit)
        if line.mass
    ]
    load = [
        {"name": f"{row.quantity} × {row.description}", "mass": pounds(row.quantity * row.mass_g)}
        for row in unit.job.payload.all()
    ]
    received = [
        ["Front axle as received", pounds(unit.received_front_g)],
        ["Rear axle as received", pounds(unit.received_rear_g)],
    ]
    return section(
        "weights",
        "Weights",
        "weights",
        findings=findings,
        **axle_loads(unit),
        lines=lines,
        load=load,
        received=received,
    )


def deviations_of_design(found: Review) -> list[dict[str, Any]]:
    """Findings that did not pass and were accepted in writing, or only warn."""
    return [_finding(each) for each in found.judged if each.finding.severity != Severity.PASS]


def as_data(found: Review) -> list[dict[str, Any]]:
    """All findings as plain data for the attachment."""
    return [asdict(finding) | {"severity": str(finding.severity)} for finding in found.findings]
