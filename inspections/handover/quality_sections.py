"""Packet sections from the record: readings, defects and changes, photos."""

from typing import Any

from inspections.checklists.logic_steps import AREA, SAFETY_AREA
from inspections.checklists.models import Check, Result
from inspections.handover.facts import Section, day, section
from jobs.audit.record import display_name
from jobs.models import Unit
from jobs.templatetags.units import number, signed_money

NAMED = {"volts": "V", "current": "A"}


def _standing(check: Check) -> Result | None:
    """The result that counts: the newest one that was not taken back, or that a decision kept."""
    results = [r for r in check.results.all() if r.kind == Result.Kind.RESULT]
    struck = {r.voids_id for r in check.results.all() if r.kind == Result.Kind.VOID}
    alive = [result for result in results if result.pk not in struck]
    newest = max(alive, key=lambda result: result.sequence, default=None)
    last = _decision(check)
    if last is None or newest is None or newest.sequence > last.sequence:
        return newest
    return next((result for result in results if result.pk == last.keeps_id), newest)


def _decision(check: Check) -> Result | None:
    """The newest decision that let one of several answers stand."""
    decided = [r for r in check.results.all() if r.kind == Result.Kind.DECIDE and r.keeps_id]
    return max(decided, key=lambda result: result.sequence, default=None)


def checks_of(unit: Unit) -> list[Check]:
    query = unit.checks.filter(retired=False).prefetch_related(
        "results__person", "results__instrument", "results__photos__photo"
    )
    return list(query.order_by("position"))


def measured_values(checks: list[Check]) -> dict[str, dict[str, str]]:
    """Measured volts and amps by circuit reference, for the schedules."""
    values: dict[str, dict[str, str]] = {}
    for check in checks:
        word = NAMED.get(check.key.rpartition(" ")[2])
        result = _standing(check)
        if word and result and result.value is not None and check.key.startswith("circuit "):
            ref = check.key.split(" ")[1]
            values.setdefault(ref, {})[word] = f"{number(result.value)} {word}"
    return values


# Which areas stand together on sheets; an area that is not named goes to the first group.
RECORD = {
    "Vehicle": ("Identity", "Wiring", "Mechanical", "Body", "Safety", "Documents"),
    "Protection and polarity": ("Protection", "Polarity"),
    "Voltage and current": ("Feeds", "Voltage", "Current"),
    "Functions": ("Lights", "Doors", "Siren", "Mast", "Radio", "Computer"),
    "Energy, 120 V and weight": ("Energy", "120 V", "Weight"),
    "Control logic": (SAFETY_AREA, AREA),
}


def readings(checks: list[Check]) -> list[Section]:
    """The whole record in a few sections, so that one new reading remakes one of them."""
    group_of = {area: name for name, areas in RECORD.items() for area in areas}
    groups: dict[str, dict[str, list[Check]]] = {name: {} for name in RECORD}
    for check in checks:
        name = group_of.get(check.area, "Vehicle")
        groups[name].setdefault(check.area, []).append(check)
    return [
        section(
            f"qc-{number}",
            f"Quality record: {name}",
            "readings",
            tables=[_table(area, found) for area, found in areas.items()],
        )
        for number, (name, areas) in enumerate(groups.items(), start=1)
        if areas
    ]


def _table(area: str, checks: list[Check]) -> dict[str, Any]:
    """One area. Conditions that all its readings share are said once."""
    rows = [_reading(check) for check in checks]
    conditions = {row["conditions"] for row in rows if row["conditions"]}
    shared = conditions.pop() if len(conditions) == 1 else ""
    for row in rows:
        if shared:
            row["conditions"] = ""
    steps = all(row["do"] for row in rows)
    return {"area": area, "rows": rows, "conditions": shared, "steps": steps}


def _reading(check: Check) -> dict[str, str]:
    result = _standing(check)
    value = "–"
    if result and result.value is not None:
        value = f"{number(result.value)} {check.unit_of_measure}"
    decision = _decision(check)
    chosen = ""
    if decision and result and decision.keeps_id == result.pk:
        chosen = f"decided by {display_name(decision.person)}: {decision.reason}"
    took_part = "checked by a person who took part" if result and result.took_part else ""
    return {
        "ref": check.ref,
        "title": check.title,
        # A test step of the control logic is named by its outcome; what to do says more.
        "do": check.instruction if check.about else "",
        "expected": check.expected_text,
        "measured": value,
        "verdict": check.get_state_display(),
        "state": check.state,
        "instrument": str(result.instrument) if result and result.instrument else "–",
        "who": display_name(result.person) if result else "–",
        "when": day(result.at_device) if result else "–",
        "conditions": result.conditions if result else "",
        "note": "; ".join(filter(None, [result.reason if result else "", took_part, chosen])),
    }


def deviations(unit: Unit, design: list[dict[str, Any]]) -> Section:
    """What was not as planned: findings, defects, concessions, change orders."""
    defects = [
        {
            "number": str(defect),
            "state": defect.get_state_display(),
            "check": f"{defect.check_item.ref} {defect.check_item.title}",
            "found": defect.found,
            "cause": f"{defect.get_cause_display()}: {defect.cause_text}" if defect.cause else "–",
            "containment": defect.containment or "–",
            "rework": defect.rework_text or "–",
            "reworked": display_name(defect.reworked_by) if defect.reworked_by else "–",
            "closed": f"{display_name(defect.closed_by)}, {day(defect.closed_at)}"
            if defect.closed_by
            else defect.concession_by or "–",
        }
        for defect in unit.defects.select_related("check_item", "reworked_by", "closed_by")
    ]
    changes = [
        {
            "number": str(change),
            "title": change.title,
            "reason": change.get_reason_display(),
            "state": change.get_state_display(),
            "amount": signed_money(change.amount_cents),
        }
        for change in unit.job.changes.all()
    ]
    return section(
        "deviations",
        "Findings, defects and changes",
        "deviations",
        findings=design,
        defects=defects,
        changes=changes,
    )


def photos(unit: Unit, checks: list[Check]) -> Section | None:
    """Arrival and evidence photos, each with what it shows, who took it and when."""
    found = [
        {
            "sha256": item.photo.sha256,
            "alt": f"Arrival, {item.get_view_display().lower()}",
            "caption": f"Arrival · {item.get_view_display()} · {day(item.taken_at)}",
        }
        for item in unit.condition_photos.select_related("photo")
    ]
    for check in checks:
        for result in check.results.all():
            found += [
                {
                    "sha256": item.photo.sha256,
                    "alt": f"{check.title}",
                    "caption": f"{check.ref} · {check.title} · {display_name(result.person)} · "
                    f"{day(result.at_device)}",
                }
                for item in result.photos.all()
            ]
    return section("photos", "Photos", "photos", photos=found) if found else None
