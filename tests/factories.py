"""Rows for tests, made by typed keyword-only functions. What a test does not name is plausible."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from itertools import count
from typing import Any
from uuid import uuid4

from catalog.actions import create_part
from catalog.columns import DRAW_KEY, DRAWS, FACTS, LIMIT_KEY, LIMITS, Column
from catalog.datasheet import Datasheet, table_of
from catalog.models import Part
from inspections.checklists.actions import Reading
from inspections.models import Instrument
from inspections.release.logic_release import release_program
from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.drafting.release import accept_risks
from jobs.build_sheet.drafting.working_out import FOREVER
from jobs.build_sheet.logic import keep_logic
from jobs.models import (
    Agency,
    BuildLine,
    Circuit,
    CircuitLoad,
    ControlLogic,
    Feed,
    FurnishedItem,
    Job,
    Notice,
    Quote,
    Requirement,
    Supply,
    Unit,
)
from jobs.quoting.actions import draft_quote
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.pricing import PricedInput
from jobs.stages.actions import plan_stages
from tests.jobs.controls.small import small_data

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


def make_line(*, job: Job, ref: str = "L01", part: Part | None = None, **fields: Any) -> BuildLine:
    plausible = {"section": "warning", "zone": "front", "stage": "S6", "x_mm": Decimal(0)}
    part = part or make_part()
    return BuildLine.objects.create(job=job, ref=ref, part=part.current, **{**plausible, **fields})


def make_wired_job(*, job: Job | None = None, awg: str = "12", **circuit: Any) -> Job:
    """A battery, one feed and one circuit with four grille heads: 3.6 A average, 7.2 A peak."""
    job = job or make_job()
    line = make_line(job=job, quantity=4)
    battery = Supply.objects.create(
        job=job, ref="MAIN", name="Main battery", kind="battery", nominal_mv=13_200,
        test_mv=13_800, capacity_mah=95_000,
    )  # fmt: skip
    feed = Feed.objects.create(
        job=job, ref="A", name="Warning", supply=battery, device_kind="breaker_manual",
        device_ma=50_000, awg="6", length_mm=Decimal("4876.8"), source_distance_mm=Decimal(200),
        panel_place="Left rear panel",
    )  # fmt: skip
    made = Circuit.objects.create(
        job=job, feed=feed,
        **{
            "ref": "A-01", "designation": "Grille heads", "device_kind": "fuse_blade",
            "device_ma": 10_000, "awg": awg, "length_mm": Decimal("3048"), "label": "A-01",
            **circuit,
        },
    )  # fmt: skip
    CircuitLoad.objects.create(circuit=made, line=line, quantity=4)
    return job


def make_working_unit(*, job: Job | None = None, by: Any, **fields: Any) -> Unit:
    """A unit of an approved, wired job with its stages planned."""
    job = job or make_wired_job()
    Job.objects.filter(pk=job.pk).update(state=Job.State.APPROVED)
    unit = make_unit(job=Job.objects.get(pk=job.pk), vin=VIN, **fields)
    plan_stages(unit=unit, by=by)
    return unit


def make_instrument(*, asset: str = "DM-2", due: date = date(2099, 1, 1)) -> Instrument:
    return Instrument.objects.create(asset=asset, name="Multimeter", calibration_due=due)


def reading(pressed: str = "pass", value: str = "", **fields: Any) -> Reading:
    return Reading(client_id=uuid4(), pressed=pressed, value_typed=value, **fields)


def make_offered_quote(*, by: Any, **given: Any) -> Quote:
    quote = make_draft_quote(by=by, **given)
    return offer_quote(quote=quote, version=quote.version, by=by)


def make_approved_quote(*, by: Any, **given: Any) -> Quote:
    quote = make_offered_quote(by=by, **given)
    decide_quote(quote=quote, answer="approved", name="Edda Quill", digest=quote.digest)
    quote.refresh_from_db()
    return quote


def make_draft(
    *, by: Any, job: Job | None = None, version: str = "1.0", data: Any = None
) -> ControlLogic:
    """A draft of the control logic with a mast, a siren and a lamp."""
    logic = small_data() if data is None else data
    return keep_logic(
        job=job or make_job(), version=version, data=logic | {"version": version}, note="", by=by
    )


def release_draft(kept: ControlLogic, *, by: Any, reason: str = "Agreed with the crew") -> None:
    """Accept whatever is left of a draft, then release it with its checks."""
    gate = gate_of(kept, seconds=FOREVER)
    if chosen := {risk.fingerprint for risk in gate.open_risks}:
        accept_risks(kept=kept, gate=gate, chosen=chosen, reason=reason, by=by)
    release_program(kept=kept, by=by)


def make_notice(**facts: Any) -> Notice:
    known = {"kind": Notice.Kind.ANSWER, "to": "office@shop.example", "subject": "Answered"}
    return Notice.objects.create(**known | {"text": "Edda Quill has approved."} | facts)
