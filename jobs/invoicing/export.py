"""Invoices as CSV for the bookkeeper's own program. No cell is read as a formula there."""

from collections.abc import Iterable
from decimal import Decimal

from catalog.sheets import csv_lines
from jobs.invoicing.models import Invoice

HEAD = (
    "invoice", "kind", "job", "unit", "agency", "bill_to", "their_order", "issued_on", "due_on",
    "paid_on", "gross", "deposit_taken_off", "to_pay",
)  # fmt: skip


def amount(cents: int) -> Decimal:
    return Decimal(cents).scaleb(-2)


def invoices_csv(invoices: Iterable[Invoice]) -> str:
    return "".join(csv_lines(HEAD, (_row(one) for one in invoices)))


def _row(one: Invoice) -> list[object]:
    return [
        one.number, one.kind, one.job.number, one.unit or "", one.job.agency.name,
        " ".join(one.bill_to.split()), one.order_number, one.issued_on, one.due_on,
        one.paid_on or "", amount(one.gross_cents), amount(one.credit_cents), amount(one.due_cents),
    ]  # fmt: skip
