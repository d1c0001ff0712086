"""What makes every room of the office alive: kits, contract, buying, a plan, a change, a fleet."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from catalog.models import Ownership
from inspections.demo.rows import read
from jobs.build_sheet.quoting import quote_from_sheet
from jobs.buying import actions as buying
from jobs.changes.actions import raise_change, set_edits
from jobs.coverage.actions import ask_questions, link_requirement
from jobs.coverage.templates import questions
from jobs.fleet.actions import add_difference, add_units
from jobs.intake.sheet.actions import start_job
from jobs.kits.actions import add_kit, make_kit
from jobs.models import (
    Job,
    KitRevision,
    LabourClass,
    PlanResource,
    PlanSettings,
    PriceContract,
    Purchase,
    Quote,
    Stage,
    Supplier,
)
from jobs.planning.actions import keep_plan, work_out
from jobs.quoting.actions import edit_terms

FLEET_VEHICLE = "1-ton high-roof van"


def furnish(delivered: Job, running: Job, people: dict[str, User]) -> None:
    """Once, into the shop that the two jobs made."""
    facts = read("rooms")
    _agreements(facts)
    _kits(facts, delivered, people["nessa"])
    for number, kind, ref in facts["links"]:
        requirement = delivered.requirements.get(number=number)
        link_requirement(requirement=requirement, kind=kind, ref=ref, by=people["pell"])
    _buying(facts, running, people["nessa"])
    _change(facts["change"], running, people)
    _fleet(facts["fleet"], delivered, people["nessa"])
    _plan(facts, people["nessa"])


def _agreements(facts: dict[str, Any]) -> None:
    today = timezone.localdate()
    PriceContract.objects.create(
        **facts["contract"],
        valid_from=today - timedelta(days=120),
        valid_until=today + timedelta(days=600),
    )
    LabourClass.objects.bulk_create(
        LabourClass(name=name, cents_per_hour=cents, sections=sections)
        for name, cents, sections in facts["classes"]
    )


def _kits(facts: dict[str, Any], job: Job, by: User) -> None:
    for kit in facts["kits"]:
        lines = (
            job.lines.filter(section__in=kit["sections"]) if kit["sections"] else job.lines.all()
        )
        make_kit(
            job=job,
            code=kit["code"],
            name=kit["name"],
            vehicle=kit["vehicle"],
            lines=set(lines.values_list("ref", flat=True)),
            rules=kit["rules"],
            by=by,
        )


def _buying(facts: dict[str, Any], job: Job, by: User) -> None:
    """Everything of the running job was bought; its finished stages are picked, some is short."""
    suppliers = [
        Supplier.objects.create(name=name, email=email, phone=phone)
        for name, email, phone in facts["suppliers"]
    ]
    unit = job.units.get()
    lines = list(job.lines.filter(ownership=Ownership.SHOP).select_related("part__part"))
    tracked = [line for line in lines if line.part.serial_tracked]
    plain = [line for line in lines if not line.part.serial_tracked]
    first = plain[: len(plain) * 3 // 4]
    purchase = _order(first, suppliers[0], by, days=-20)
    for row in purchase.lines.select_related("part", "purchase"):
        buying.receive(line=row, pieces=row.quantity, serials=(), seen=0, by=by)
    done = set(
        Stage.objects.filter(unit=unit)
        .exclude(state=Stage.State.WAITING)
        .values_list("code", flat=True)
    )
    for line in first:
        if line.stage in done:
            buying.pick(line=line, unit=unit, pieces=line.quantity, seen=0, by=by)
    _order([*tracked, *plain[len(first) : -3]], suppliers[1], by, days=9)


def _order(lines: list[Any], supplier: Supplier, by: User, *, days: int) -> Purchase:
    wanted: dict[Any, int] = {}
    for line in lines:
        wanted[line.part.part] = wanted.get(line.part.part, 0) + line.quantity
    suppliers = dict.fromkeys(wanted, supplier)
    (purchase,) = buying.order_parts(wanted=wanted, suppliers=suppliers, by=by)
    expected = timezone.localdate() + timedelta(days=days)
    buying.send_purchase(purchase=purchase, version=purchase.version, expected_on=expected, by=by)
    return Purchase.objects.get(pk=purchase.pk)


def _change(facts: dict[str, Any], job: Job, people: dict[str, User]) -> None:
    """Raised at the vehicle, its effect worked out, not offered yet."""
    stage = Stage.objects.select_related("unit__job").get(unit__job=job, code="S6")
    change = raise_change(
        stage=stage, title=facts["title"], reason="customer", note=facts["note"], hold=False,
        by=people["dag"],
    )  # fmt: skip
    line = job.lines.get(ref=facts["line"])
    edit = {"op": "quantity", "ref": line.ref, "from": line.quantity, "to": facts["to"]}
    set_edits(change=change, version=change.version, edits=[edit], by=people["nessa"])


def _fleet(facts: dict[str, Any], like: Job, by: User) -> None:
    """An enquiry for three vans: questions open, build from a kit, a draft quote for all."""
    job = start_job(
        agency=like.agency, agency_name="", title=facts["title"], vehicle=FLEET_VEHICLE,
        promised_on=timezone.localdate() + timedelta(days=150), copy_from=None, by=by,
    )  # fmt: skip
    ask_questions(job=job, questions=questions("Rescue van"), by=by)
    units = add_units(job=job, prefix="HR-", first=1, count=facts["units"], by=by)
    revision = _newest("RESCUE-VAN")
    add_kit(job=job, revision=revision, seen=0, by=by)
    for one in facts["differences"]:
        line = job.lines.filter(ref=one.get("line")).first()
        add_difference(
            units=[units[number - 1] for number in one["units"]], line=line,
            pieces=one.get("pieces"), text=one["text"], by=by,
        )  # fmt: skip
    quote = quote_from_sheet(job=job, by=by)
    contract = PriceContract.objects.get()
    terms = {
        "contract": contract,
        "unit_count": facts["units"],
        "repeat_bp": facts["repeat_bp"],
        "deposit_bp": facts["deposit_bp"],
    }
    quote = Quote.objects.get(pk=quote.pk)
    edit_terms(quote=quote, version=quote.version, by=by, fields=terms)


def _newest(code: str) -> KitRevision:
    return KitRevision.objects.filter(kit__code=code).order_by("-number")[0]


def _plan(facts: dict[str, Any], by: User) -> None:
    PlanSettings.objects.create(pk=1, free_days=facts["free_days"])
    PlanResource.objects.bulk_create(
        PlanResource(name=name, capacity=capacity, stages=stages)
        for name, capacity, stages in facts["resources"]
    )
    keep_plan(run=work_out(by=by), by=by)
