"""The customer's purchase order: typed in, matched, held until every mismatch is resolved."""

from datetime import date
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.intake.models import Job
from jobs.quoting.contract import contract_of
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.lines import lock
from jobs.quoting.matching import OrderFacts, OtherRevision, QuoteFacts, mismatches
from jobs.quoting.models import PurchaseOrder, Quote


@transaction.atomic
def enter_order(
    *,
    job: Job,
    number: str,
    revision: str,
    total_cents: int,
    bill_to: str,
    received_on: date,
    by: Any,
    contract: str = "",
) -> PurchaseOrder:
    lock(job)
    if job.purchase_orders.filter(number=number).exists():
        raise QuoteError(f"Order {number} is entered for job {job.number} already.")
    order = PurchaseOrder(
        job=job,
        number=number,
        revision_typed=revision,
        contract_typed=contract,
        total_cents=total_cents,
        bill_to=bill_to,
        received_on=received_on,
        entered_by=display_name(by),
    )
    _match(order)
    order.save()
    _tell(order, by, "entered")
    return order


@transaction.atomic
def correct_order(
    *,
    order: PurchaseOrder,
    version: int,
    revision: str,
    total_cents: int,
    bill_to: str,
    received_on: date,
    by: Any,
    contract: str = "",
) -> None:
    """Type an order again, for instance after the customer sent a corrected one."""
    _claim(order, version)
    order.revision_typed, order.total_cents = revision, total_cents
    order.bill_to, order.received_on = bill_to, received_on
    order.contract_typed = contract
    order.resolution = order.resolved_by = ""
    order.resolved_at = None
    _match(order)
    order.save()
    _tell(order, by, "corrected")


@transaction.atomic
def resolve_order(*, order: PurchaseOrder, version: int, reason: str, by: Any) -> None:
    """Let a held order through with a written reason. The mismatches stay on record."""
    _claim(order, version)
    if not order.held:
        raise StaleError(f"Order {order.number} is not held any more.")
    order.held = False
    order.resolution, order.resolved_by = reason, display_name(by)
    order.resolved_at = timezone.now()
    order.save(update_fields=["held", "resolution", "resolved_by", "resolved_at"])
    _tell(order, by, "released", f"let through: {reason}")


def match_orders_again(job: Job) -> None:
    """A revision was approved: orders that nobody let through are matched with it."""
    for order in job.purchase_orders.filter(resolution=""):
        _match(order)
        order.save(update_fields=["quote", "mismatches", "held"])


def _match(order: PurchaseOrder) -> None:
    quote, changes_cents = _wanted(order.job)
    facts = None
    if quote:
        facts = QuoteFacts(
            number=quote.number,
            revision=quote.revision,
            approved=quote.state == Quote.State.APPROVED,
            total_cents=quote.total_cents,
            changes_cents=changes_cents,
            bill_to=order.job.agency.bill_to,
            valid_until=quote.valid_until,
            contract=quote.contract.number if quote.contract else "",
            route=quote.contract.route if quote.contract else "",
        )
    typed = OrderFacts(
        revision=order.revision_typed,
        total_cents=order.total_cents,
        bill_to=order.bill_to,
        received_on=order.received_on,
        contract=order.contract_typed,
    )
    order.quote = quote
    order.mismatches = mismatches(typed, facts, _others(order.job, quote))
    order.held = bool(order.mismatches)


def _wanted(job: Job) -> tuple[Quote | None, int]:
    """The approved revision with its approved changes; before an approval the offered one."""
    contract = contract_of(job)
    if contract:
        return contract.quote, contract.changes_cents
    return job.quotes.filter(state=Quote.State.OFFERED).first(), 0


def _others(job: Job, quote: Quote | None) -> tuple[OtherRevision, ...]:
    rest = job.quotes.exclude(pk=quote.pk if quote else None)
    return tuple(
        OtherRevision(
            revision=one.revision,
            total_cents=one.total_cents,
            state=one.get_state_display().lower(),
        )
        for one in rest
    )


def _claim(order: PurchaseOrder, version: int) -> None:
    lock(order.job)
    if not PurchaseOrder.objects.filter(pk=order.pk, version=version).update(
        version=F("version") + 1
    ):
        raise StaleError(f"Somebody else changed order {order.number} after you opened this page.")
    order.refresh_from_db()


def _tell(order: PurchaseOrder, by: Any, verb: str, what: str = "") -> None:
    if not what:
        count = len(order.mismatches)
        what = f"held for {count} mismatch{'es' * (count > 1)}." if count else "it fits the quote."
    record(
        by=by,
        verb=verb,
        subject=order,
        job=order.job.number,
        sentence=f"Order {order.number} {verb}, {what}",
    )
