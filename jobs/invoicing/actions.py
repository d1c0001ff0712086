"""Issuing invoices and entering their payment. Everything of one job one after the other."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from sequences import get_next_value

from jobs.audit.record import display_name, record
from jobs.intake.models import Job, Unit
from jobs.invoicing.documents import request_invoice_pdf
from jobs.invoicing.models import Invoice
from jobs.invoicing.shares import next_share
from jobs.quoting.contract import Contract, contract_of
from jobs.quoting.lines import lock
from jobs.quoting.pricing import percent, share
from jobs.quoting.words import money_words

Kind = Invoice.Kind
PAYMENT_DAYS = 30
# The room above that knows when a unit was accepted answers with the day, or None.
ACCEPTED: list[Callable[[Unit], date | None]] = []


class InvoiceError(Exception):
    """Why no invoice can be issued, as a sentence."""


def accepted_on(unit: Unit) -> date | None:
    days = [day for reader in ACCEPTED if (day := reader(unit))]
    return min(days, default=None)


def _contract(job: Job) -> Contract:
    contract = contract_of(job)
    if contract is None:
        raise InvoiceError(f"Job {job.number} has no approved quote, so nothing is owed.")
    return contract


def left_to_invoice(job: Job) -> int:
    """What the contract is worth for its units so far, less everything that was invoiced."""
    contract = contract_of(job)
    if contract is None:
        return 0
    units = 1 if contract.quote.unit_count > 1 else max(1, job.units.count())
    return contract.total_cents * units - _sum(job.invoices.all(), "due_cents")


@transaction.atomic
def issue_deposit(*, job: Job, by: Any) -> Invoice:
    lock(job)
    quote = _contract(job).quote
    if not quote.deposit_bp:
        raise InvoiceError(f"{quote} asks for no deposit.")
    if job.invoices.filter(kind=Kind.DEPOSIT).exists():
        raise InvoiceError(f"The deposit of job {job.number} is invoiced already.")
    if job.invoices.filter(kind=Kind.UNIT).count() >= quote.unit_count:
        raise InvoiceError(f"All units of {quote} are invoiced; no deposit can be taken off any.")
    cents = share(quote.total_cents, quote.deposit_bp)
    words = f"Deposit on {quote}, {percent(quote.deposit_bp)} of {money_words(quote.total_cents)}"
    return _issue(job=job, kind=Kind.DEPOSIT, gross=cents, lines=[[words, cents]], by=by)


@transaction.atomic
def issue_for_unit(*, unit: Unit, by: Any) -> Invoice:
    """The invoice of an accepted unit: its share of the contract as it is now, less deposit."""
    job = lock(unit.job)
    day = accepted_on(unit)
    if day is None:
        raise InvoiceError(
            f"{unit} is not accepted yet. A delivery receipt is not acceptance; the agency accepts "
            "with its packet."
        )
    if Invoice.objects.filter(unit=unit).exists():
        raise InvoiceError(f"{unit} is invoiced already.")
    contract = _contract(job)
    # Balances count in what is invoiced already, but not among the units.
    issued = job.invoices.exclude(kind=Kind.DEPOSIT)
    number = issued.filter(kind=Kind.UNIT).count() + 1
    units = contract.quote.unit_count
    if number > units > 1:
        raise InvoiceError(f"The contract prices {units} units, and so many are invoiced.")
    # A quote for one is the price of each of them.
    owed = contract.total_cents * number if units == 1 else contract.total_cents
    gross = next_share(owed, max(units, number), number, _sum(issued, "gross_cents"))
    lines = [[f"Unit {unit}, accepted on {day:%-d %b %Y}, by {contract.quote}", gross]]
    credit = _take_off_deposit(job, lines, units, min(units, number))
    return _issue(
        job=job, kind=Kind.UNIT, gross=gross, credit=credit, lines=lines, unit=unit, by=by
    )


@transaction.atomic
def issue_balance(*, job: Job, by: Any) -> Invoice:
    """What the contract gained or lost after its last unit was invoiced."""
    lock(job)
    contract = _contract(job)
    issued = job.invoices.exclude(kind=Kind.DEPOSIT)
    count = issued.filter(kind=Kind.UNIT).count()
    units = max(contract.quote.unit_count, job.units.count())
    if count < units:
        raise InvoiceError(f"{count} of {units} units are invoiced; the rest follows with theirs.")
    owed = contract.total_cents * (1 if contract.quote.unit_count > 1 else count)
    gross = owed - _sum(issued, "gross_cents")
    lines: list[list[Any]] = [["Changes approved after the last unit was invoiced", gross]]
    credit = _take_off_deposit(job, lines, 1, 1)
    if not gross and not credit:
        raise InvoiceError("Nothing is left to invoice.")
    return _issue(job=job, kind=Kind.BALANCE, gross=gross, credit=credit, lines=lines, by=by)


def _take_off_deposit(job: Job, lines: list[list[Any]], units: int, count: int) -> int:
    """What of the deposit has to be taken off by now and was not yet, with its line."""
    deposit = job.invoices.filter(kind=Kind.DEPOSIT).first()
    if deposit is None:
        return 0
    taken_off = _sum(job.invoices.exclude(kind=Kind.DEPOSIT), "credit_cents")
    credit = max(0, next_share(deposit.gross_cents, units, count, taken_off))
    if credit:
        lines.append([f"Less deposit, invoice {deposit}", -credit])
    return credit


def _sum(invoices: QuerySet[Invoice], column: str) -> int:
    return sum(invoices.values_list(column, flat=True))


def _issue(
    *, job: Job, kind: str, gross: int, lines: list[list[Any]], by: Any, credit: int = 0,
    unit: Unit | None = None,
) -> Invoice:  # fmt: skip
    today = timezone.localdate()
    orders = job.purchase_orders.filter(held=False).order_by("id")
    invoice = Invoice.objects.create(
        number=f"I-{get_next_value('invoices'):04d}",
        job=job,
        unit=unit,
        kind=kind,
        gross_cents=gross,
        credit_cents=credit,
        due_cents=gross - credit,
        lines=lines,
        bill_to=job.agency.bill_to or job.agency.name,
        order_number=", ".join(order.number for order in orders)[:80],
        issued_on=today,
        due_on=today + timedelta(days=PAYMENT_DAYS),
        issued_by=by,
    )
    invoice.document = request_invoice_pdf(invoice)
    invoice.save(update_fields=["document"])
    what = f" for unit {unit}" if unit else f", {invoice.get_kind_display().lower()}"
    sentence = f"Issued invoice {invoice}{what}."
    record(by=by, verb="issued", subject=invoice, job=job.number, sentence=sentence)
    return invoice


@transaction.atomic
def enter_payment(*, invoice: Invoice, on: date, by: Any) -> None:
    if on < invoice.issued_on:
        raise InvoiceError(f"{on:%-d %b %Y} is before the invoice, {invoice.issued_on:%-d %b %Y}.")
    if not Invoice.objects.filter(pk=invoice.pk, paid_on=None).update(
        paid_on=on, paid_by=display_name(by)
    ):
        raise InvoiceError(f"{invoice} is paid already.")
    sentence = f"Invoice {invoice} was paid on {on:%-d %b %Y}."
    record(by=by, verb="paid", subject=invoice, job=invoice.job.number, sentence=sentence)
