"""Drafting quotes: from the build sheet, from an earlier revision, and by hand.

Each action locks the job, so that revisions of one job are changed one after the other, and bumps
the draft's version, so that a form opened before somebody else's save is told and not obeyed.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any

from django.db import transaction
from django.db.models import F, QuerySet
from django.utils import timezone
from sequences import get_next_value

from jobs.audit.record import record
from jobs.intake.models import Job
from jobs.intake.standings import counted
from jobs.people.models import Shop
from jobs.quoting.contracts import by_contract, labour_rates
from jobs.quoting.documents import request_quote_pdf
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.lines import add_lines, fields_of, given_lines, item_of, lock, reprice
from jobs.quoting.models import Quote, QuoteLine
from jobs.quoting.pricing import PricedInput

__all__ = ["PricedInput", "draft_quote", "revise_quote"]

# Fields that can be edited in a draft, and how the history calls them.
TERM_FIELDS = {
    "price_date": "day of the prices",
    "valid_until": "validity",
    "labour_rate_cents": "labour rate",
    "labour_rates": "rates of other classes",
    "contract": "contract",
    "excluded_sections": "sections without discount",
    "unit_count": "number of units",
    "repeat_bp": "hours of a further unit",
    "deposit_bp": "deposit",
    "fee_bp": "contract administration fee",
    "discount_bp": "contract discount",
    "supplies_bp": "shop supplies",
    "tax": "tax",
    "tax_bp": "tax rate",
    "labour_taxable": "tax on labour",
    "note": "note",
    "terms": "terms",
    "exclusions": "exclusions",
}
# A new revision has its own dates and its own note.
CARRIED = tuple(set(TERM_FIELDS) - {"price_date", "valid_until", "note"})


@transaction.atomic
def draft_quote(
    *, job: Job, lines: Sequence[PricedInput], by: Any, number: str = "", **terms: Any
) -> Quote:
    """Put the build sheet's lines into the job's draft, making a new revision when there is none.

    Lines with a `ref` are the build sheet's: they replace those of the draft, and keep what the
    office said about tax and discount of the same ref. Lines without one (freight, one-off work,
    options) are the office's: those of the earlier revision are carried over, given ones added.
    `terms` are fields of TERM_FIELDS; the others come from the earlier revision or the shop.
    """
    lock(job)
    before = job.quotes.order_by("id").last()
    fresh = before is None or before.state != Quote.State.DRAFT
    quote = _new_revision(job, before, number=number, **terms) if fresh else _changed(before, terms)
    kept = _office_answers(before)
    office = [item_of(row) for row in given_lines(before) if not row.ref] if before else []
    given = [_with_answers(item, kept) for item in lines]
    quote.lines.all().delete()
    add_lines(quote, [*(i for i in given if i.ref), *office, *(i for i in given if not i.ref)])
    reprice(quote)
    _tell(quote, by, "drafted", f"drafted from the build sheet, {counted(len(given), 'line')}")
    return quote


@transaction.atomic
def revise_quote(*, quote: Quote, by: Any, note: str = "") -> Quote:
    """A new draft that starts as a copy of an earlier revision, with today's dates."""
    lock(quote.job)
    draft = quote.job.quotes.filter(state=Quote.State.DRAFT).first()
    if draft:
        raise QuoteError(f"Revision {draft.revision} is still a draft. Finish or delete it first.")
    new = _new_revision(quote.job, quote, note=note)
    add_lines(new, [item_of(row) for row in given_lines(quote)])
    reprice(new)
    _tell(new, by, "revised", f"drafted from revision {quote.revision}")
    return new


@transaction.atomic
def edit_terms(*, quote: Quote, version: int, by: Any, fields: Mapping[str, Any]) -> None:
    """Save those of the draft's terms that differ. Sending the same form twice changes nothing."""
    stored = Quote.objects.get(pk=quote.pk)
    fields = by_contract(fields)
    changed = [n for n in TERM_FIELDS if n in fields and fields[n] != getattr(stored, n)]
    if not changed:
        return
    _claim(quote, version)
    for name in changed:
        setattr(quote, name, fields[name])
    quote.save(update_fields=changed)
    reprice(quote)
    _tell(quote, by, "edited", "changed " + ", ".join(TERM_FIELDS[name] for name in changed))


@transaction.atomic
def add_item(*, quote: Quote, version: int, by: Any, item: PricedInput) -> QuoteLine:
    _claim(quote, version)
    (row,) = add_lines(quote, [item])
    reprice(quote)
    _tell(quote, by, "edited", f"added '{item.description}'")
    return row


@transaction.atomic
def change_item(*, row: QuoteLine, version: int, by: Any, item: PricedInput) -> None:
    quote = row.quote
    _claim(quote, version)
    fields = fields_of(item)
    if not quote.lines.filter(pk=row.pk).update(**fields):
        raise StaleError("Somebody else removed this line.")
    reprice(quote)
    _tell(quote, by, "edited", f"changed '{item.description}'")


@transaction.atomic
def remove_item(*, row: QuoteLine, version: int, by: Any) -> None:
    quote = row.quote
    if row.ref:
        raise QuoteError(
            f"{row.ref} comes from the build sheet. Remove it there and draft the quote again."
        )
    _claim(quote, version)
    quote.lines.filter(pk=row.pk).delete()
    reprice(quote)
    _tell(quote, by, "edited", f"removed '{row.description}'")


@transaction.atomic
def print_draft(*, quote: Quote) -> None:
    """Make a PDF of the draft, marked as no offer, to be read before it is offered."""
    lock(quote.job)
    quote.refresh_from_db()
    if quote.state == Quote.State.DRAFT:
        quote.document = request_quote_pdf(quote)
        quote.save(update_fields=["document"])


@transaction.atomic
def delete_draft(*, quote: Quote, version: int, by: Any) -> None:
    """Drop a draft that nobody has been offered."""
    _claim(quote, version)
    _tell(quote, by, "deleted", "deleted the draft")
    quote.delete()


def _claim(quote: Quote, version: int) -> None:
    """Take the draft for this change, or say why not. The row is locked until the commit."""
    lock(quote.job)
    same: QuerySet[Quote] = Quote.objects.filter(pk=quote.pk, version=version)
    # A PDF of the draft as it was until now would mislead.
    if same.filter(state=Quote.State.DRAFT).update(version=F("version") + 1, document=None):
        quote.refresh_from_db()
        return
    now = Quote.objects.filter(pk=quote.pk).first()
    if now is None:
        raise StaleError(f"Somebody else deleted {quote}.")
    if now.state != Quote.State.DRAFT:
        raise StaleError(f"{now} is {now.get_state_display().lower()}; it cannot be edited.")
    raise StaleError(f"Somebody else changed {now} after you opened this page.")


def _new_revision(job: Job, before: Quote | None, *, number: str = "", **given: Any) -> Quote:
    """The next revision with the terms carried over; without a number the shop's next one."""
    unknown = set(given) - set(TERM_FIELDS)
    if unknown:
        raise TypeError(f"{sorted(unknown)} are not terms of a quote.")
    shop = Shop.objects.get(pk=1)
    today = timezone.localdate()
    terms: dict[str, Any] = {
        "labour_rate_cents": shop.labour_rate_cents,
        "supplies_bp": shop.supplies_bp,
        "labour_rates": labour_rates(),
        "tax": Quote.Tax.EXEMPT if job.agency.exempt else Quote.Tax.TAXED,
        "price_date": today,
        **({name: getattr(before, name) for name in CARRIED} if before else {}),
        **given,
    }
    terms.setdefault("valid_until", terms["price_date"] + timedelta(days=shop.quote_valid_days))
    number = number or (before.number if before else f"Q-{get_next_value('quote'):04d}")
    return Quote.objects.create(job=job, number=number, revision=_next_letter(job), **terms)


def _changed(quote: Quote, terms: Mapping[str, Any]) -> Quote:
    for name, value in terms.items():
        setattr(quote, name, value)
    quote.version, quote.document = quote.version + 1, None
    quote.save(update_fields=["version", "document", *terms])
    return quote


def _next_letter(job: Job) -> str:
    """A, B, ... Z, AA, AB, ... counted over all revisions of the job, deleted drafts not."""
    number = job.quotes.count() + 1
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def _office_answers(before: Quote | None) -> dict[str, QuoteLine]:
    return {row.ref: row for row in before.lines.exclude(ref="")} if before else {}


def _with_answers(item: PricedInput, kept: Mapping[str, QuoteLine]) -> PricedInput:
    row = kept.get(item.ref)
    if row is None or not item.ref:
        return item
    return replace(
        item,
        discountable=row.discountable,
        taxable=row.taxable,
        labour_class=row.labour_class,
    )


def _tell(quote: Quote, by: Any, verb: str, what: str) -> None:
    record(by=by, verb=verb, subject=quote, job=quote.job.number, sentence=f"{quote}: {what}.")
