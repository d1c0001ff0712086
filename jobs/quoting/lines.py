"""From rows to the pure price and back. The only place where quote rows get their amounts."""

from collections.abc import Iterable
from typing import Any

from django.db.models import Max

from jobs.intake.models import Job
from jobs.quoting.models import LineKind, Quote, QuoteLine
from jobs.quoting.pricing import (
    COMPUTED,
    Kind,
    LabourRate,
    PricedInput,
    PricedLine,
    Terms,
    price,
    standard_rates,
)

# What a row and a priced input call by the same name.
SHARED = (
    "section",
    "ref",
    "code",
    "description",
    "quantity",
    "unit_cents",
    "minutes",
    "labour_class",
    "discountable",
    "taxable",
    "firm",
    "chosen",
    "cost_cents",
)


def lock(job: Job) -> Job:
    """Everything about the money of one job happens one after the other."""
    return Job.objects.select_for_update().get(pk=job.pk)


def terms_of(quote: Quote) -> Terms:
    return Terms(
        rates=(*standard_rates(quote.labour_rate_cents), *_other_rates(quote)),
        discount_bp=quote.discount_bp,
        excluded=frozenset(quote.excluded_sections),
        units=quote.unit_count,
        repeat_bp=quote.repeat_bp,
        fee_bp=quote.fee_bp,
        supplies_bp=quote.supplies_bp,
        tax_bp=quote.tax_bp if quote.tax == Quote.Tax.TAXED else 0,
        labour_taxable=quote.labour_taxable,
    )


def _other_rates(quote: Quote) -> list[LabourRate]:
    return [
        LabourRate(
            labour_class=one["name"], cents_per_hour=one["cents"], sections=tuple(one["sections"])
        )
        for one in quote.labour_rates
    ]


def item_of(row: QuoteLine) -> PricedInput:
    return PricedInput(kind=Kind(row.kind), **{name: getattr(row, name) for name in SHARED})


def fields_of(item: PricedInput) -> dict[str, Any]:
    return {"kind": LineKind(item.kind), **{name: getattr(item, name) for name in SHARED}}


def given_lines(quote: Quote) -> list[QuoteLine]:
    """The rows that people or the build sheet gave, without those that are computed."""
    return list(quote.lines.exclude(kind__in=COMPUTED))


def add_lines(quote: Quote, items: Iterable[PricedInput]) -> list[QuoteLine]:
    """New rows at the end. Their amounts are zero until the quote is repriced."""
    last = quote.lines.aggregate(last=Max("position"))["last"] or 0
    return QuoteLine.objects.bulk_create(
        QuoteLine(quote=quote, position=position, amount_cents=0, **fields_of(item))
        for position, item in enumerate(items, start=last + 1)
    )


def reprice(quote: Quote) -> None:
    """Price all rows by the quote's terms and store every amount and the total."""
    rows = given_lines(quote)
    priced = price([item_of(row) for row in rows], terms_of(quote))
    given, computed = priced.lines[: len(rows)], priced.lines[len(rows) :]
    for row, line in zip(rows, given, strict=True):
        _take(row, line)
    quote.lines.filter(kind__in=COMPUTED).delete()
    for row, line in zip(add_lines(quote, [one.item for one in computed]), computed, strict=True):
        _take(row, line)
        rows.append(row)
    QuoteLine.objects.bulk_update(rows, ["discount_bp", "amount_cents", "tax_cents"])
    quote.total_cents = priced.total_cents
    quote.save(update_fields=["total_cents"])


def _take(row: QuoteLine, line: PricedLine) -> None:
    row.discount_bp = line.discount_bp
    row.amount_cents, row.tax_cents = line.amount_cents, line.tax_cents
