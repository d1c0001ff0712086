"""Rows for tests, made by typed keyword-only functions. What a test does not name is plausible."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import count
from typing import Any

from catalog.actions import create_part
from catalog.columns import DRAW_KEY, DRAWS, FACTS, LIMIT_KEY, LIMITS, Column
from catalog.datasheet import Datasheet, table_of
from catalog.models import Part
from jobs.models import Agency, FurnishedItem, Job, Quote, Requirement, Unit
from jobs.quoting.actions import draft_quote
from jobs.quoting.pricing import PricedInput

# An invented VIN whose check digit is right; its region letter is unassigned.
VIN = "0DEVN4HB7TS000417"
_next = count(1)


def make_agency(*, name: str = "", **fields: Any) -> Agency:
    name = name or f"Harbour Rescue District {next(_next)}"
    return Agency.objects.create(name=name, **fields)


def make_job(
    *, agency: Agency | None = None, number: str = "", title: str = "Rescue van", **fields: Any
) -> Job:
    number = number or f"J-{9000 + next(_next)}"
    return Job.objects.create(agency=agency or make_agency(), number=number, title=title, **fields)


def make_unit(*, job: Job | None = None, number: str = "", **fields: Any) -> Unit:
    return Unit.objects.create(
        job=job or make_job(), number=number or f"SR-{next(_next)}", **fields
    )


def make_requirement(
    *,
    job: Job | None = None,
    text: str = "White scene light on three sides",
    source: str = "Crew representative, first call",
    status: str = Requirement.Status.OPEN,
    **fields: Any,
) -> Requirement:
    """Confirmed and waived ones get a name and a date unless the test gives them."""
    job = job or make_job()
    if status in (Requirement.Status.CONFIRMED, Requirement.Status.WAIVED):
        fields = {"settled_by": "Crew representative", "settled_on": date(2026, 3, 9), **fields}
    number = fields.pop("number", job.requirements.count() + 1)
    return Requirement.objects.create(
        job=job, number=number, text=text, source=source, status=status, **fields
    )


def make_furnished_item(
    *, job: Job | None = None, description: str = "Two-way radio, 50 W", **fields: Any
) -> FurnishedItem:
    return FurnishedItem.objects.create(job=job or make_job(), description=description, **fields)


def make_exempt_agency(**fields: Any) -> Agency:
    """A public agency with a certificate that is valid for a long time."""
    return make_agency(
        **{
            "exempt": True,
            "certificate_number": "NTM-EX-0917",
            "certificate_state": "State of Northmere",
            "certificate_expires_on": date(2099, 12, 31),
            "bill_to": "Harbour Rescue District\nPier Office",
            **fields,
        }
    )


def make_draft_quote(
    *, by: Any, job: Job | None = None, lines: list[PricedInput] | None = None, **terms: Any
) -> Quote:
    """A draft with two light bars and a radio; exempt from tax."""
    job = job or make_job(agency=make_exempt_agency())
    plain = [
        PricedInput(
            section="Warning lights", ref="L01", code="LB-60", description="Roof light bar",
            quantity=Decimal(2), unit_cents=200_000, minutes=360, cost_cents=120_000,
        ),
        PricedInput(
            section="Radio", ref="L02", code="RD-1", description="Two-way radio",
            unit_cents=90_000, minutes=90,
        ),
    ]  # fmt: skip
    return draft_quote(job=job, lines=plain if lines is None else lines, by=by, **terms)


def make_datasheet(
    *,
    draws: Iterable[dict[str, Any]] = ({"average_ma": 900, "peak_ma": 1800, "colour": "red"},),
    limits: Iterable[dict[str, Any]] = (),
    **facts: Any,
) -> Datasheet:
    """A complete warning light unless the test says otherwise. Stored units."""
    plausible = {
        "kind": "warning",
        "description": "Grille head",
        "list_price_cents": 14_800,
        "labour_minutes": 45,
        "mass_g": Decimal("272.155"),
        "supply_min_mv": 10_500,
        "supply_max_mv": 16_000,
    }
    return Datasheet(
        facts=_filled(FACTS, {**plausible, **facts}),
        draws=table_of((_filled(DRAWS, {"function": "on", **row}) for row in draws), DRAW_KEY),
        limits=table_of((_filled(LIMITS, row) for row in limits), LIMIT_KEY),
    )


def _filled(columns: Iterable[Column], values: dict[str, Any]) -> dict[str, Any]:
    empty = {c.field: None if c.read.required else c.clean("") for c in columns}
    return {**empty, **values}


def make_part(*, code: str = "", by: str = "Mona Ash", **datasheet: Any) -> Part:
    code = code or f"P-{next(_next)}"
    return create_part(code=code, datasheet=make_datasheet(**datasheet), by=by)
