"""Demo rows that a shop would type: people, parts, agency, vehicle, build sheet, circuits.

Read from inspections/demo/data; trade units there, stored units here.
"""

import json
from datetime import date
from decimal import Decimal
from importlib.resources import files
from typing import Any

from django.contrib.auth.models import Group, User

from catalog.models import CurrentDraw, Part, PartRevision, RatingLimit
from catalog.quantities import (
    AMPERE,
    AMPERE_HOUR,
    DOLLAR,
    DOLLAR_PER_POUND,
    HOUR,
    INCH,
    MILLIAMPERE,
    POUND,
    VOLT,
)
from catalog.quantities import Unit as Measure
from config.access import DESIGNER, INSPECTOR, MANAGER, ROLES, TECHNICIAN
from jobs.models import (
    Agency,
    BuildLine,
    Contact,
    FurnishedItem,
    Job,
    Payload,
    Requirement,
    Shop,
    Unit,
)

PASSPHRASE = "harbour lantern demo"  # noqa: S105  shown on screen on purpose: demo only
PEOPLE = (
    ("nessa", "Nessa", "Quarrie", (MANAGER,)),
    ("pell", "Pell", "Harrow", (DESIGNER,)),
    ("juno", "Juno", "Vance", (TECHNICIAN,)),
    ("ari", "Ari", "Stroud", (TECHNICIAN, DESIGNER)),
    ("dag", "Dag", "Lorne", (MANAGER, TECHNICIAN)),
    ("wren", "Wren", "Okello", (INSPECTOR,)),
)


def read(name: str) -> Any:
    text = (files("inspections.demo") / "data" / f"{name}.json").read_text(encoding="utf-8")
    return json.loads(text)


def store(measure: Measure, value: float | int | str | None) -> Any:
    """A figure of the data file in stored units; None stays None."""
    return None if value is None else measure.to_stored(Decimal(str(value)))


def make_shop() -> Shop:
    shop, _ = Shop.objects.get_or_create(
        id=1,
        defaults={
            "name": "Bramblegate Vehicle Works",
            "phone": "555 0142",
            "email": "office@bramblegate.example",
            "address": "14 Tidemill Road\nBramblegate, State of Northmere",
            "labour_rate_cents": 11_800,
            "supplies_bp": 300,
            "copper_cents_per_kg": store(DOLLAR_PER_POUND, 12),
        },
    )
    return shop


def make_people() -> dict[str, User]:
    groups = {role: Group.objects.get_or_create(name=role)[0] for role in ROLES}
    people = {}
    for username, first, last, roles in PEOPLE:
        user, made = User.objects.get_or_create(
            username=username, defaults={"first_name": first, "last_name": last}
        )
        if made:
            user.set_password(PASSPHRASE)
            user.save(update_fields=["password"])
            user.groups.set(groups[role] for role in roles)
        people[username] = user
    return people


def make_parts(by: str) -> dict[str, PartRevision]:
    revisions = {}
    for row in read("parts")["parts"]:
        part, made = Part.objects.get_or_create(code=row["code"], defaults={"kind": row["kind"]})
        if made:
            _make_revision(part, row, by)
        revisions[part.code] = part.current
    return revisions


def _make_revision(part: Part, row: dict[str, Any], by: str) -> None:
    revision = PartRevision.objects.create(
        part=part,
        number=1,
        description=row["description"],
        ownership=row["ownership"],
        list_price_cents=store(DOLLAR, row["list_usd"]),
        cost_cents=store(DOLLAR, row.get("cost_usd")),
        price_date=date(2026, 3, 2),
        lead_days=row["lead_days"],
        labour_minutes=store(HOUR, row["hours"]),
        mass_g=store(POUND, row["weight_lb"]),
        supply_min_mv=store(VOLT, row["supply_min_v"]),
        supply_max_mv=store(VOLT, row["supply_max_v"]),
        warranty_months=row["warranty_months"],
        serial_tracked=row["serial_tracked"],
        drop_class=row["drop_class"],
        check_group=row["check_group"],
        device_kind=row.get("device_kind", ""),
        conductor_awg=row.get("conductor_awg", ""),
        datasheet="Invented for the demo",
        created_by=by,
    )
    CurrentDraw.objects.bulk_create(
        CurrentDraw(
            revision=revision,
            function=draw["function"],
            colour=draw["colour"],
            load_model=draw["model"],
            average_ma=store(AMPERE, draw["average_a"]),
            peak_ma=store(AMPERE, draw["peak_a"]),
            standby_ua=store(MILLIAMPERE, draw["standby_a"] * 1000)
            if "standby_a" in draw
            else None,
            inrush_ma=store(AMPERE, draw.get("inrush_a")),
            inrush_ms=draw.get("inrush_ms"),
        )
        for draw in row["draws"]
    )
    RatingLimit.objects.bulk_create(
        RatingLimit(
            revision=revision,
            what=limit["what"],
            label=limit["label"],
            limit_ma=store(AMPERE, limit["limit_a"]),
            count=limit["count"],
        )
        for limit in row["limits"]
    )
    part.current = revision
    part.save(update_fields=["current"])


def make_agency(data: dict[str, Any]) -> Agency:
    fields = {key: value for key, value in data.items() if key not in ("name", "contacts")}
    agency, made = Agency.objects.get_or_create(name=data["name"], defaults=fields)
    if made:
        for contact in data["contacts"]:
            Contact.objects.create(
                agency=agency,
                name=contact["name"],
                role=contact["role"],
                email=contact.get("email", ""),
                may_approve=contact.get("may_approve", False),
                limit_cents=store(DOLLAR, contact.get("limit_usd")),
            )
    return agency


UNIT_MEASURES = {
    "wheelbase_in": ("wheelbase_mm", INCH),
    "gvwr_lb": ("gvwr_g", POUND),
    "gawr_front_lb": ("gawr_front_g", POUND),
    "gawr_rear_lb": ("gawr_rear_g", POUND),
    "received_front_lb": ("received_front_g", POUND),
    "received_rear_lb": ("received_rear_g", POUND),
    "roof_limit_lb": ("roof_limit_g", POUND),
    "alternator_rating_a": ("alternator_rating_ma", AMPERE),
    "alternator_hot_idle_a": ("alternator_hot_idle_ma", AMPERE),
    "alternator_hot_high_idle_a": ("alternator_hot_high_idle_ma", AMPERE),
    "battery_ah": ("battery_mah", AMPERE_HOUR),
    "keyoff_baseline_ma": ("keyoff_baseline_ua", MILLIAMPERE),
}


def make_unit(job: Job, data: dict[str, Any]) -> Unit:
    fields = {}
    for key, value in data.items():
        name, measure = UNIT_MEASURES.get(key, (key, None))
        fields[name] = value if measure is None else store(measure, value)
    return Unit.objects.create(job=job, **fields)


def make_promises(job: Job, data: dict[str, Any]) -> None:
    Requirement.objects.bulk_create(Requirement(job=job, **row) for row in data["requirements"])
    FurnishedItem.objects.bulk_create(
        FurnishedItem(job=job, received_by="Dag Lorne", **row) for row in data["furnished"]
    )


def make_build_sheet(
    job: Job, data: dict[str, Any], parts: dict[str, PartRevision], skip: tuple[str, ...] = ()
) -> dict[str, BuildLine]:
    for row in data["lines"]:
        if row["ref"] in skip or job.lines.filter(ref=row["ref"]).exists():
            continue
        place = {f"{axis}_mm": store(INCH, row[f"{axis}_in"]) for axis in "xyz"}
        names = ("ref", "quantity", "section", "zone", "stage", "ownership", "access")
        BuildLine.objects.create(
            job=job, part=parts[row["code"]], **place, **{name: row[name] for name in names}
        )
    for row in data["payload"]:
        Payload.objects.get_or_create(
            job=job,
            description=row["description"],
            quantity=row["quantity"],
            mass_g=store(POUND, row["weight_lb"]),
            x_mm=store(INCH, row["x_in"]),
        )
    return {line.ref: line for line in job.lines.all()}
