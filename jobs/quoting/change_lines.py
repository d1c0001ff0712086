"""The lines of a change order, kept as JSON in its row: signed, priced by the quote's terms."""

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from jobs.quoting.lines import terms_of
from jobs.quoting.models import ChangeOrder
from jobs.quoting.pricing import COMPUTED, Kind, PricedInput, PricedLine, change_price

FACTS = (
    "section",
    "ref",
    "code",
    "description",
    "unit_cents",
    "minutes",
    "labour_class",
    "discountable",
    "taxable",
)


def to_json(line: PricedLine) -> dict[str, Any]:
    return {
        "kind": str(line.item.kind),
        "quantity": f"{line.item.quantity:.2f}",
        "discount_bp": line.discount_bp,
        "amount_cents": line.amount_cents,
        **{name: getattr(line.item, name) for name in FACTS},
    }


def item_of_json(row: dict[str, Any]) -> PricedInput:
    return PricedInput(
        kind=Kind(row["kind"]),
        quantity=Decimal(row["quantity"]),
        **{name: row[name] for name in FACTS if name in row},
    )


def items_of(change: ChangeOrder) -> list[PricedInput]:
    """The given lines, without the computed labour, supplies and tax."""
    return [item_of_json(row) for row in change.lines if row["kind"] not in COMPUTED]


@dataclass(frozen=True, kw_only=True, slots=True)
class PricedChange:
    lines: list[dict[str, Any]]
    amount_cents: int


def priced(change: ChangeOrder, items: list[PricedInput]) -> PricedChange:
    """A change costs what the same lines would have cost in the quote it changes."""
    found = change_price(items, replace(terms_of(change.quote), units=1))
    return PricedChange(
        lines=[to_json(line) for line in found.lines], amount_cents=found.total_cents
    )
