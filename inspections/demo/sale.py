"""The demo's money: two quote revisions, an order that fits, one that is held, a change order."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from catalog.quantities import DOLLAR, HOUR, PERCENT
from inspections.demo.rows import read, store
from jobs.build_sheet.quoting import priced_inputs, quote_from_sheet
from jobs.models import Job, Quote
from jobs.quoting.actions import add_item, draft_quote
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.orders import enter_order
from jobs.quoting.pricing import Kind, PricedInput


def _when(text: str) -> datetime:
    return timezone.make_aware(datetime.fromisoformat(text))


def sell(job: Job, people: dict[str, User], *, fresh: bool = False) -> Quote:
    """Draft, offer and approve. `fresh` dates everything today, for a job that is still running."""
    money = read("office")
    manager = people["nessa"]
    if fresh:
        quote = quote_from_sheet(job=job, by=manager, **_terms(money, money["rev_b"], fresh))
        _office_lines(quote, money, manager)
        offer_quote(quote=_again(quote), version=_again(quote).version, by=manager)
        _approve(quote, money["rev_b"]["approved_by"], None)
        return _again(quote)
    first = money["rev_a"]
    lines = [item for item in priced_inputs(job) if item.ref not in first["without"]]
    quote_a = draft_quote(
        job=job, lines=lines, by=manager, number=job.number, **_terms(money, first, fresh)
    )
    _office_lines(quote_a, money, manager)
    offer_quote(
        quote=_again(quote_a),
        version=_again(quote_a).version,
        by=manager,
        at=_when(first["offered"]),
    )
    second = money["rev_b"]
    quote_b = quote_from_sheet(job=job, by=manager, **_terms(money, second, fresh))
    offer_quote(
        quote=quote_b, version=_again(quote_b).version, by=manager, at=_when(second["offered"])
    )
    _approve(quote_b, second["approved_by"], date.fromisoformat(second["approved_on"]), manager)
    for order in money["orders"]:
        enter_order(
            job=job,
            number=order["number"],
            revision=order["revision"],
            total_cents=store(DOLLAR, order["total_usd"]),
            bill_to=job.agency.bill_to,
            received_on=date.fromisoformat(order["received_on"]),
            by=manager,
        )
    return _again(quote_b)


def _again(quote: Quote) -> Quote:
    return Quote.objects.get(pk=quote.pk)


def _terms(money: dict[str, Any], revision: dict[str, Any], fresh: bool) -> dict[str, Any]:
    today = timezone.localdate()
    return {
        "price_date": today if fresh else date.fromisoformat(revision["price_date"]),
        "valid_until": today + timedelta(days=45)
        if fresh
        else date.fromisoformat(revision["valid_until"]),
        "discount_bp": store(PERCENT, money["discount_percent"]),
        "note": revision["note"],
        "terms": money["terms"],
        "exclusions": money["exclusions"],
    }


def _office_lines(quote: Quote, money: dict[str, Any], by: User) -> None:
    """Freight, one-off engineering and an option, as the office types them."""
    items = [
        PricedInput(
            kind=Kind.FREIGHT,
            section="Freight",
            description="Freight, fixed",
            unit_cents=store(DOLLAR, money["freight_usd"]),
            discountable=False,
        )
    ]
    items += [
        PricedInput(
            kind=Kind.ONE_OFF,
            section="One-off engineering",
            description=name,
            unit_cents=quote.labour_rate_cents,
            minutes=store(HOUR, hours),
            discountable=False,
        )
        for name, hours in money["one_off"]
    ]
    items += [
        PricedInput(
            kind=Kind.OPTION,
            section="Options",
            description=option["description"],
            unit_cents=store(DOLLAR, option["unit_usd"]),
            firm=True,
        )
        for option in money["options"]
    ]
    for item in items:
        add_item(quote=_again(quote), version=_again(quote).version, by=by, item=item)


def _approve(quote: Quote, name: str, on: date | None, by: User | None = None) -> None:
    decide_quote(
        quote=_again(quote),
        answer="approved",
        name=name,
        digest=_again(quote).digest,
        signed_on=on,
        by=by,
    )


def change_lights(job: Job, people: dict[str, User]) -> None:
    """CO-01: more perimeter lights. The build line follows the approved change."""
    facts = read("office")["change"]
    manager = people["nessa"]
    line = job.lines.select_related("part__part").get(ref=facts["line"])
    added = facts["to"] - facts["from"]
    one = next(item for item in priced_inputs(job) if item.ref == line.ref)
    item = replace(one, quantity=Decimal(added), minutes=added * line.part.labour_minutes)
    change = draft_change(
        job=job,
        title=facts["title"],
        reason=facts["reason"],
        asked_by=facts["asked_by"],
        by=manager,
        lines=[item],
    )
    change.refresh_from_db()
    offer_change(change=change, version=change.version, by=manager, at=_when(facts["offered"]))
    change.refresh_from_db()
    decide_change(
        change=change,
        answer="approved",
        name=facts["approved_by"],
        digest=change.digest,
        amendment=facts["amendment"],
        by=manager,
        signed_on=date.fromisoformat(facts["approved_on"]),
    )
    line.quantity = facts["to"]
    line.save(update_fields=["quantity"])
