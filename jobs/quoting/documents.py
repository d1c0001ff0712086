"""What the PDFs of a quote and of a change order hold. Plain JSON, frozen when they are offered."""

from dataclasses import asdict
from typing import Any

from jobs.documents.actions import request_document
from jobs.documents.frame import frame
from jobs.documents.models import Document
from jobs.intake.models import Job
from jobs.people.models import Shop
from jobs.quoting.comparison import Change
from jobs.quoting.models import ChangeOrder, LineKind, Quote
from jobs.quoting.pricing import percent, share
from jobs.quoting.revisions import changes_between, last_offered_before
from jobs.quoting.sheet import change_sheet, hours_words, quantity_words, quote_sheet
from jobs.quoting.words import day_words, money_words

Facts = dict[str, Any]


def request_quote_pdf(quote: Quote) -> Document:
    """Queue the PDF of a quote; a draft's pages say that they are no offer."""
    return _request(
        quote.job,
        kind="quote",
        title=f"Quote {quote.number} revision {quote.revision}",
        file_name=f"{quote.number}-{quote.revision}.pdf",
        template="jobs/quoting/pdf/quote.html",
        data=_quote_data(quote),
        draft=quote.state == Quote.State.DRAFT and not quote.digest,
    )


def request_change_pdf(change: ChangeOrder) -> Document:
    return _request(
        change.job,
        kind="change",
        title=f"Change order {change} to quote {change.quote.number}",
        file_name=f"{change.quote.number}-{change}.pdf",
        template="jobs/quoting/pdf/change.html",
        data=_change_data(change),
        draft=not change.digest,
    )


def _request(
    job: Job, *, kind: str, title: str, file_name: str, template: str, data: Facts, draft: bool
) -> Document:
    shop = Shop.objects.get(pk=1)
    people = {
        "shop": {"name": shop.name, "phone": shop.phone, "email": shop.email},
        "shop_address": shop.address,
        "agency": job.agency.name,
        "bill_to": job.agency.bill_to or job.agency.name,
    }
    return request_document(
        kind=kind,
        title=title,
        file_name=file_name,
        sections=[{"key": kind, "title": title, "template": template, "data": {**data, **people}}],
        frame=frame(
            page_size=shop.page_size,
            mark=f"Job {job.number} · {title}",
            state="DRAFT, not an offer" if draft else "OFFER",
            draft=draft,
        ),
    )


def _quote_data(quote: Quote) -> Facts:
    before = last_offered_before(quote)
    changed = changes_between(before, quote) if before else []
    units = quote.job.units.count()
    return {
        "title_block": _title_block(quote.job, quote.number, quote.revision),
        "facts": [
            {"label": "Prices of", "value": day_words(quote.price_date)},
            {"label": "Valid until", "value": day_words(quote.valid_until)},
            {"label": "Vehicle", "value": quote.job.vehicle or "as described by the agency"},
            {"label": "Priced for", "value": priced_for(quote, units)},
            {"label": "Tax", "value": tax_words(quote)},
            *_agreed(quote),
        ],
        "sheet": asdict(quote_sheet(quote)),
        "before": before.revision if before else "",
        "before_cents": before.total_cents if before else 0,
        "difference_cents": quote.total_cents - before.total_cents if before else 0,
        "changes": [change_words(change) for change in changed if change.word != "same"],
        "furnished": [
            {
                "description": item.description,
                "quantity": item.quantity,
                "by": day_words(item.expected_on) if item.expected_on else "before the build",
            }
            for item in quote.job.furnished_items.all()
        ],
        "note": quote.note,
        "terms": quote.terms,
        "exclusions": quote.exclusions,
        "digest": quote.digest,
    }


def _change_data(change: ChangeOrder) -> Facts:
    quote = change.quote
    return {
        "title_block": _title_block(change.job, f"{quote.number} {change}", quote.revision),
        "facts": [
            {"label": "Change", "value": change.title},
            {"label": "Reason", "value": change.get_reason_display()},
            {"label": "Asked by", "value": change.asked_by or "the shop"},
            {"label": "Days added", "value": str(change.days)},
            {"label": "Changes quote", "value": f"{quote.number} revision {quote.revision}"},
            {"label": "Tax", "value": tax_words(quote)},
        ],
        "sheet": asdict(change_sheet(change)),
        "effect": change.effect.get("sentences", []),
        "note": change.note,
        "digest": change.digest,
    }


def _title_block(job: Job, number: str, revision: str) -> list[Facts]:
    return [
        {"label": "Job", "value": job.number, "mono": True},
        {"label": "Work", "value": job.title, "mono": False},
        {"label": "Quote", "value": number, "mono": True},
        {"label": "Revision", "value": revision, "mono": True},
    ]


def priced_for(quote: Quote, units: int) -> str:
    if quote.unit_count > 1:
        return f"{quote.unit_count} units"
    return f"one of {units} units" if units > 1 else "one unit"


def _agreed(quote: Quote) -> list[Facts]:
    """Contract and deposit, where there are any."""
    found = []
    if quote.contract:
        found.append({"label": "Contract", "value": quote.contract.number})
    if quote.deposit_bp:
        found.append({"label": "Deposit on approval", "value": deposit_words(quote)})
    return found


def deposit_words(quote: Quote) -> str:
    """A share of the total that is asked for first; the total stays what it is."""
    cents = share(quote.total_cents, quote.deposit_bp)
    return f"{money_words(cents)}, {percent(quote.deposit_bp)} of the total"


def tax_words(quote: Quote) -> str:
    if quote.tax == Quote.Tax.EXEMPT:
        return f"exempt by certificate {quote.certificate}".rstrip()
    if quote.tax == Quote.Tax.TAXED:
        return "taxed, see the tax line"
    return "no sales tax applies"


def change_words(change: Change) -> Facts:
    """One changed line as the customer reads it."""
    line = change.either
    was, now = change.before, change.after
    detail = ""
    if was and now and was.quantity != now.quantity:
        detail = f"{quantity_words(was.quantity)} to {quantity_words(now.quantity)}"
    elif was and now and was.minutes != now.minutes:
        detail = f"{hours_words(was.minutes)} to {hours_words(now.minutes)}"
    outside = line.kind == LineKind.OPTION and not line.counts
    return {
        "word": change.word,
        "name": "" if line.name in (line.description, line.kind) else line.name,
        "description": line.description,
        "detail": detail,
        "outside": "option, outside the total" if outside and not change.change_cents else "",
        "cents": change.change_cents,
    }
