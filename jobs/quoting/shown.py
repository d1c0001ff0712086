"""What the customer sees of a quote or a change order. Nothing internal goes in here."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils import timezone

from jobs.documents.models import Document
from jobs.intake.models import Job
from jobs.quoting.decisions import decided_words
from jobs.quoting.documents import change_words, tax_words
from jobs.quoting.models import ChangeOrder, Decision, Quote
from jobs.quoting.revisions import changes_between, last_offered_before
from jobs.quoting.sheet import Sheet, change_sheet, quote_sheet
from jobs.quoting.words import day_words


@dataclass(frozen=True, kw_only=True, slots=True)
class Shown:
    job: Job
    heading: str
    total_label: str
    is_change: bool
    open: bool
    sheet: Sheet
    decision: Decision | None
    decided: str
    closed_because: str
    units: str
    tax: str
    pdf_ready: bool
    title: str = ""
    valid_until: date | None = None
    days: int = 0
    effect: tuple[str, ...] = ()
    note: str = ""
    terms: str = ""
    exclusions: str = ""
    furnished: tuple[Any, ...] = ()
    before: str = ""
    difference_cents: int = 0
    changes: tuple[dict[str, Any], ...] = ()


def shown_quote(quote: Quote) -> Shown:
    decision = getattr(quote, "decision", None)
    before = last_offered_before(quote)
    changes = changes_between(before, quote) if before else []
    because = _why_closed(quote)
    return Shown(
        job=quote.job,
        heading=f"Quote {quote.number} revision {quote.revision}",
        total_label="Total",
        is_change=False,
        open=decision is None and not because,
        sheet=quote_sheet(quote),
        decision=decision,
        decided=decided_words(decision) if decision else "",
        closed_because=because if decision is None else "",
        units=_units(quote.job, quote.unit_count),
        tax=tax_words(quote),
        pdf_ready=_is_ready(quote.document),
        valid_until=quote.valid_until,
        note=quote.note,
        terms=quote.terms,
        exclusions=quote.exclusions,
        furnished=tuple(quote.job.furnished_items.all()),
        before=before.revision if before else "",
        difference_cents=quote.total_cents - before.total_cents if before else 0,
        changes=tuple(change_words(one) for one in changes if one.word != "same"),
    )


def _why_closed(quote: Quote) -> str:
    if quote.state == Quote.State.SUPERSEDED:
        return "A later revision has replaced this one. Ask the shop for its link."
    if quote.state == Quote.State.WITHDRAWN:
        return "The shop has withdrawn this quote. Ask the shop what comes instead."
    if quote.state != Quote.State.OFFERED:
        return "This quote is not open for an answer."
    if quote.valid_until < timezone.localdate():
        return (
            f"This quote was valid until {day_words(quote.valid_until)} and cannot be approved "
            "any more. Ask the shop for a new one; prices may have changed."
        )
    return ""


def shown_change(change: ChangeOrder) -> Shown:
    decision = getattr(change, "decision", None)
    is_open = change.state == ChangeOrder.State.OFFERED
    because = "The shop has withdrawn this change. Ask the shop what comes instead."
    return Shown(
        job=change.job,
        heading=f"Change order {change} to quote {change.quote.number}",
        total_label="Change of the contract",
        is_change=True,
        open=decision is None and is_open,
        sheet=change_sheet(change),
        decision=decision,
        decided=decided_words(decision) if decision else "",
        closed_because="" if is_open or decision else because,
        units=_units(change.job),
        tax=tax_words(change.quote),
        pdf_ready=_is_ready(change.document),
        title=change.title,
        days=change.days,
        effect=tuple(change.effect.get("sentences", ())),
        note=change.note,
    )


def _units(job: Job, priced: int = 1) -> str:
    numbers = [unit.number for unit in job.units.all()]
    if priced > 1:
        return f"priced for {priced}" + (f": {', '.join(numbers)}" if numbers else " units")
    if len(numbers) > 1:
        return f"priced for one of {len(numbers)}: {', '.join(numbers)}"
    return numbers[0] if numbers else ""


def _is_ready(document: Document | None) -> bool:
    return document is not None and document.state == Document.State.DONE
