"""A quote or change order as people read it: sections, work, options, totals. Plain values.

Screen, customer page and PDF all show what is gathered here. Without `money` no amount leaves this
module, so a page for people who see no prices cannot show one by mistake.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from jobs.quoting.models import ChangeOrder, LineKind, Quote, QuoteLine
from jobs.quoting.pricing import COMPUTED, goods_cents, percent

WORK = (LineKind.LABOUR, LineKind.ONE_OFF)
FURTHER = (LineKind.REPEAT,)
# What people who see no prices see: the work and the things, not what is only money.
SCOPE = (LineKind.PART, *WORK, LineKind.SUBLET, *FURTHER, LineKind.OPTION)
GOODS = (LineKind.PART, LineKind.OPTION)
# The order people read a quote in, whatever the order of entry.
ORDER = (
    LineKind.PART,
    *WORK,
    LineKind.SUPPLIES,
    LineKind.FREIGHT,
    LineKind.SUBLET,
    LineKind.REPEAT,
    LineKind.FEE,
    LineKind.OPTION,
    LineKind.TAX,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One line. `pk` is the row to edit, or the index in a change order's lines."""

    pk: int
    kind: str
    section: str
    ref: str
    code: str
    description: str
    quantity: str
    minutes: int
    chosen: bool = False
    computed: bool = False
    notes: tuple[str, ...] = ()
    unit_cents: int | None = None
    discount_bp: int | None = None
    amount_cents: int | None = None
    tax_cents: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    title: str
    rows: tuple[Row, ...]
    minutes: int
    amount_cents: int | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Total:
    """A line of the summary. The counted ones add up to the total."""

    label: str
    cents: int
    counts: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    sections: tuple[Section, ...]
    taken: tuple[Row, ...]
    options: tuple[Row, ...]
    totals: tuple[Total, ...]
    total_cents: int | None
    minutes: int


def quote_sheet(quote: Quote, *, money: bool = True) -> Sheet:
    rows = [_row(line) for line in quote.lines.all()]
    return _sheet(rows, quote.total_cents, quote.discount_bp, money=money)


def change_sheet(change: ChangeOrder, *, money: bool = True) -> Sheet:
    rows = [_json_row(index, line) for index, line in enumerate(change.lines)]
    return _sheet(rows, change.amount_cents, change.quote.discount_bp, money=money)


def _sheet(rows: Sequence[Row], total_cents: int, discount_bp: int, *, money: bool) -> Sheet:
    rows = sorted(rows, key=lambda row: ORDER.index(LineKind(row.kind)))
    totals = _totals(rows, discount_bp)
    if not money:
        rows, totals = [_without_money(row) for row in rows if row.kind in SCOPE], []
    base = [row for row in rows if row.kind not in (LineKind.OPTION, LineKind.TAX)]
    options = [row for row in rows if row.kind == LineKind.OPTION]
    return Sheet(
        sections=tuple(_sections(base, money=money)),
        taken=tuple(row for row in options if row.chosen),
        options=tuple(row for row in options if not row.chosen),
        totals=tuple(totals),
        total_cents=total_cents if money else None,
        minutes=sum(row.minutes for row in rows if row.kind in (*WORK, *FURTHER) or row.chosen),
    )


def _sections(rows: Iterable[Row], *, money: bool) -> Iterable[Section]:
    """Sections in the order of their first line."""
    titles: dict[str, list[Row]] = {}
    for row in rows:
        titles.setdefault(row.section, []).append(row)
    for title, found in titles.items():
        yield Section(
            title=title,
            rows=tuple(found),
            minutes=sum(row.minutes for row in found),
            amount_cents=_sum(found) if money else None,
        )


def _totals(rows: Sequence[Row], discount_bp: int) -> list[Total]:
    """From list price to net price first, so that an auditor can follow it; then what counts."""
    parts = [row for row in rows if row.kind == LineKind.PART]
    at_list = sum(
        goods_cents(quantity=Decimal(row.quantity), unit_cents=row.unit_cents or 0) for row in parts
    )
    off = f"Contract discount, {percent(discount_bp)}"
    found = [
        Total(label="Parts at list price", cents=at_list, counts=False),
        Total(label=off, cents=_sum(parts) - at_list, counts=False),
        Total(label="Parts, net", cents=_sum(parts)),
        *(Total(label=_work(row), cents=row.amount_cents or 0) for row in _of(rows, *WORK)),
        *(
            Total(label=label, cents=_sum(_of(rows, kind)))
            for label, kind in (
                ("Shop supplies", LineKind.SUPPLIES),
                ("Freight", LineKind.FREIGHT),
                ("Sublet work", LineKind.SUBLET),
            )
        ),
        Total(label="Further units", cents=_sum(_of(rows, *FURTHER))),
        Total(label="Contract administration fee", cents=_sum(_of(rows, LineKind.FEE))),
        Total(label="Options taken", cents=_sum(row for row in rows if row.chosen)),
        Total(label="Tax", cents=_sum(_of(rows, LineKind.TAX))),
    ]
    return [total for total in found if total.cents]


def _of(rows: Iterable[Row], *kinds: str) -> list[Row]:
    return [row for row in rows if row.kind in kinds]


def _sum(rows: Iterable[Row]) -> int:
    return sum(row.amount_cents or 0 for row in rows)


def _work(row: Row) -> str:
    return f"{row.description}, {hours_words(row.minutes)}"


def hours_words(minutes: int) -> str:
    return quantity_words(Decimal(minutes) / 60) + " h"


def quantity_words(quantity: Decimal) -> str:
    return f"{quantity:.2f}".rstrip("0").rstrip(".")


def _row(line: QuoteLine) -> Row:
    return Row(
        pk=line.pk,
        kind=line.kind,
        section=line.section,
        ref=line.ref,
        code=line.code,
        description=line.description,
        quantity=quantity_words(line.quantity),
        minutes=line.minutes,
        chosen=line.chosen,
        computed=line.kind in COMPUTED,
        notes=_notes(line),
        unit_cents=line.unit_cents,
        discount_bp=line.discount_bp,
        amount_cents=line.amount_cents,
        tax_cents=line.tax_cents,
    )


def _notes(line: QuoteLine) -> tuple[str, ...]:
    found = {
        "agreed price": line.firm,
        "not discounted": line.kind in GOODS and not line.discountable and not line.firm,
        "not taxed": not line.taxable and line.kind not in COMPUTED,
    }
    return tuple(note for note, holds in found.items() if holds)


def _json_row(index: int, line: dict[str, Any]) -> Row:
    return Row(
        pk=index,
        kind=line["kind"],
        section=line["section"],
        ref=line["ref"],
        code=line["code"],
        description=line["description"],
        quantity=quantity_words(Decimal(line["quantity"])),
        minutes=line["minutes"],
        computed=line["kind"] in COMPUTED,
        unit_cents=line["unit_cents"],
        discount_bp=line["discount_bp"],
        amount_cents=line["amount_cents"],
    )


def _without_money(row: Row) -> Row:
    return replace(
        row, notes=(), unit_cents=None, discount_bp=None, amount_cents=None, tax_cents=None
    )
