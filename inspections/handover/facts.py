"""Packet sections about the promise: cover, summary, hazards, care. Plain JSON for templates."""

from typing import Any

from django.utils import timezone

from inspections.as_built.label import address, grouped, label_of, qr_svg
from jobs.audit.record import display_name
from jobs.models import Shop, Unit
from jobs.templatetags.units import amps, inches, pounds

Section = dict[str, Any]


def day(value: Any) -> str:
    """A date as people write it, or a dash."""
    if value is None:
        return "–"
    if hasattr(value, "hour"):
        value = timezone.localtime(value)
    return f"{value.day} {value:%b %Y}"


def section(key: str, title: str, template: str, **data: Any) -> Section:
    return {
        "key": key,
        "title": title,
        "template": f"inspections/handover/pdf/{template}.html",
        "data": data,
    }


def state_word(unit: Unit) -> str:
    return "AS BUILT" if hasattr(unit, "release") else "DRAFT"


def title_cells(unit: Unit, revision: int) -> list[dict[str, Any]]:
    return [
        {"label": "Job", "value": unit.job.number, "mono": True},
        {"label": "Unit", "value": unit.number, "mono": True},
        {"label": "VIN, last eight", "value": unit.vin[-8:] or "not entered", "mono": True},
        {"label": "Revision", "value": str(revision), "mono": True},
        {"label": "State", "value": state_word(unit), "mono": False},
    ]


def signatures(unit: Unit) -> list[dict[str, str]]:
    """Who signed for what, each apart: designed, installed, inspected, received, accepted."""
    design = unit.job.design_revisions.exclude(released_at=None).order_by("number").last()
    workers = sorted(
        {
            display_name(event.person)
            for stage in unit.stages.all()
            for event in stage.events.select_related("person")
            if event.kind in ("finish", "start")
        }
    )
    release = getattr(unit, "release", None)
    receipt = getattr(unit, "receipt", None)
    accepted = unit.acceptances.exclude(answer="rejected").last()
    return [
        {
            "role": "Designed",
            "name": f"{design.made_by}; released by {design.released_by}" if design else "",
            "at": day(design.released_at) if design else "",
        },
        {"role": "Installed", "name": ", ".join(workers), "at": ""},
        {
            "role": "Inspected and released",
            "name": display_name(release.released_by) if release else "",
            "at": day(release.released_at) if release else "",
        },
        {
            "role": "Received",
            "name": receipt.received_by if receipt else "",
            "at": day(receipt.received_at) if receipt else "",
        },
        {
            "role": "Accepted",
            "name": f"{accepted.name} ({accepted.get_answer_display().lower()})"
            if accepted
            else "",
            "at": day(accepted.at) if accepted else "",
        },
    ]


def cover(unit: Unit, revision: int, data_sha256: str) -> Section:
    job = unit.job
    label = label_of(unit)
    return section(
        "cover",
        "Delivery packet",
        "cover",
        title_block=title_cells(unit, revision),
        agency=job.agency.name,
        place=job.agency.place,
        job_title=job.title,
        vehicle=job.vehicle,
        vin=unit.vin,
        signatures=signatures(unit),
        took_part=bool(getattr(getattr(unit, "release", None), "took_part", False)),
        qr=qr_svg(label.code),
        url=address(label.code),
        code=grouped(label.code),
        shop=_shop_lines(),
        digest=data_sha256,
    )


def _shop_lines() -> list[str]:
    shop = Shop.objects.get(pk=1)
    lines = [shop.name, *shop.address.splitlines(), shop.phone, shop.email]
    return [line for line in lines if line]


def summary(unit: Unit) -> Section:
    """The unit in figures, what was asked and how it was proved, what is still open."""
    job = unit.job
    facts = [
        ["VIN", unit.vin or "not entered"],
        ["Vehicle", job.vehicle],
        ["Gross vehicle weight rating", pounds(unit.gvwr_g)],
        ["Axle ratings front, rear", f"{pounds(unit.gawr_front_g)}, {pounds(unit.gawr_rear_g)}"],
        ["Wheelbase", inches(unit.wheelbase_mm)],
        ["Alternator, hot idle and high idle", _alternator(unit)],
        ["Odometer on arrival", f"{unit.odometer_mi} mi" if unit.odometer_mi is not None else "–"],
        ["Keys", str(unit.keys or "–")],
    ]
    requirements = [
        {
            "number": f"RQ{row.number}",
            "text": row.text,
            "status": row.get_status_display(),
            "settled": f"{row.settled_by}, {day(row.settled_on)}" if row.settled_by else "–",
            "proof": ", ".join(check.ref for check in row.checks.filter(unit=unit)) or "–",
        }
        for row in job.requirements.prefetch_related("checks")
    ]
    open_items = [
        {"text": item.text, "owner": item.owner or "–", "due": day(item.due_on)}
        for item in unit.punch_items.filter(closed_on=None)
    ]
    return section(
        "summary",
        "Summary and open items",
        "summary",
        facts=facts,
        requirements=requirements,
        open_items=open_items,
    )


def _alternator(unit: Unit) -> str:
    return f"{amps(unit.alternator_hot_idle_ma)}, {amps(unit.alternator_hot_high_idle_ma)}"


def hazards(unit: Unit) -> Section | None:
    """Every caution of the unit's stages once, the gravest word first, two on a sheet."""
    rank = {"DANGER": 0, "WARNING": 1, "CAUTION": 2, "NOTICE": 3}
    found = {}
    for stage in unit.stages.all():
        for one in stage.cautions:
            found.setdefault(one["hazard"], one)
    panels = [
        {**{k: v for k, v in one.items() if k != "word"}, "signal": one["word"].lower()}
        for one in sorted(found.values(), key=lambda one: rank[one["word"]])
    ]
    pairs = [panels[start : start + 2] for start in range(0, len(panels), 2)]
    return section("hazards", "Cautions", "hazards", pairs=pairs) if pairs else None


def care(unit: Unit) -> Section:
    """What to look after and when; whom to call. Common practice, no source."""
    tasks = [
        ["After 30 days", "Re-torque power studs, look along the harness, read fault codes."],
        [
            "Every 6 months",
            "Battery test, key-off draw, seals of roof and inlets, mast or moving parts.",
        ],
        [
            "Every 12 months",
            "Re-torque, ground-fault devices, extinguisher, weights if loads changed.",
        ],
    ]
    training = [
        {
            "name": row.name,
            "topics": row.topics,
            "on": day(row.on),
            "trainer": row.trainer,
            "signed": f"{row.signed_by}, {day(row.signed_at)}" if row.signed_at else "–",
        }
        for row in unit.trainings.all()
    ]
    receipt = getattr(unit, "receipt", None)
    handed = [
        ["Keys", str(receipt.keys if receipt else unit.keys or "–")],
        ["Spare fuses", "One of each rating and type of the panel legends, inside each panel."],
        ["Passwords", "Changed for this agency and handed over apart from this packet."],
        ["Control program", "Load the version named in the control section; compare its SHA-256."],
    ]
    return section(
        "care",
        "Care, warranty and contact",
        "care",
        tasks=tasks,
        handed=handed,
        training=training,
        shop=_shop_lines(),
    )
