"""Change orders: drafted, priced by the approved quote's terms, offered, answered once."""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.intake.models import Job
from jobs.notices.actions import tell_answer
from jobs.quoting.change_lines import items_of, priced
from jobs.quoting.contract import contract_of
from jobs.quoting.decisions import decided_words, refuse_early_paper
from jobs.quoting.digest import change_digest
from jobs.quoting.documents import request_change_pdf
from jobs.quoting.errors import DecidedError, QuoteError, StaleError
from jobs.quoting.lines import lock
from jobs.quoting.models import ChangeOrder, Decision, Quote
from jobs.quoting.orders import match_orders_again
from jobs.quoting.pricing import PricedInput

State = ChangeOrder.State
# What rooms above know against offering a change, each as sentences.
BEFORE_OFFER: list[Callable[[ChangeOrder], list[str]]] = []


@transaction.atomic
def draft_change(
    *,
    job: Job,
    title: str,
    reason: str,
    by: Any,
    asked_by: str = "",
    days: int = 0,
    note: str = "",
    lines: Sequence[PricedInput] = (),
) -> ChangeOrder:
    """A new change order on the approved revision. Without lines it costs nothing."""
    lock(job)
    contract = contract_of(job)
    if contract is None:
        raise QuoteError(
            f"Job {job.number} has no approved quote yet. Until then change the quote itself."
        )
    last = job.changes.aggregate(last=Max("number"))["last"] or 0
    change = ChangeOrder(
        job=job,
        quote=contract.quote,
        number=last + 1,
        title=title,
        reason=reason,
        asked_by=asked_by,
        days=days,
        note=note,
        created_by=display_name(by),
    )
    _price(change, list(lines))
    change.save()
    _tell(change, by, "drafted", f"drafted: {title}")
    return change


@transaction.atomic
def edit_change(
    *,
    change: ChangeOrder,
    version: int,
    title: str,
    reason: str,
    asked_by: str,
    days: int,
    note: str,
    by: Any,
) -> None:
    _claim(change, version)
    change.title, change.reason, change.asked_by = title, reason, asked_by
    change.days, change.note = days, note
    change.save(update_fields=["title", "reason", "asked_by", "days", "note"])
    _tell(change, by, "edited", "edited")


@transaction.atomic
def set_change_lines(
    *, change: ChangeOrder, version: int, lines: Sequence[PricedInput], by: Any
) -> None:
    """Replace the draft's lines and price them."""
    _claim(change, version)
    _price(change, list(lines))
    change.save(update_fields=["lines", "amount_cents"])
    _tell(change, by, "edited", "changed its lines")


@transaction.atomic
def offer_change(
    *, change: ChangeOrder, version: int, by: Any, at: datetime | None = None
) -> ChangeOrder:
    """Freeze the change and offer it. One without cost is offered and approved like any other."""
    _claim(change, version)
    contract = contract_of(change.job)
    if contract is None or contract.quote.pk != change.quote_id:
        raise QuoteError(f"{change} changes {change.quote}, which is not the approved revision.")
    if sentences := [one for gate in BEFORE_OFFER for one in gate(change)]:
        raise QuoteError(" ".join(sentences))
    _price(change, items_of(change))
    change.state, change.digest = State.OFFERED, change_digest(change)
    change.offered_at, change.offered_by = at or timezone.now(), by
    change.document = request_change_pdf(change)
    change.save(
        update_fields=[
            "lines", "amount_cents", "state", "digest", "offered_at", "offered_by", "document",
        ]
    )  # fmt: skip
    _tell(change, by, "offered", "offered")
    return change


@transaction.atomic
def withdraw_change(*, change: ChangeOrder, by: Any) -> None:
    lock(change.job)
    if not ChangeOrder.objects.filter(pk=change.pk, state__in=(State.DRAFT, State.OFFERED)).update(
        state=State.WITHDRAWN, version=F("version") + 1
    ):
        change.refresh_from_db()
        raise StaleError(f"{change} is {change.get_state_display().lower()}; it stays so.")
    change.refresh_from_db()
    _tell(change, by, "withdrew", "withdrawn")


@transaction.atomic
def decide_change(
    *,
    change: ChangeOrder,
    answer: str,
    name: str,
    digest: str,
    comment: str = "",
    amendment: str = "",
    ip: str | None = None,
    by: Any = None,
    signed_on: date | None = None,
) -> Decision:
    """Write down the customer's answer, once; `amendment` is the number on their order."""
    lock(change.job)
    change.refresh_from_db()
    _refuse(change, answer=answer, digest=digest)
    refuse_early_paper(change, signed_on)
    approved = answer == Decision.Answer.APPROVED
    if not ChangeOrder.objects.filter(pk=change.pk, state=State.OFFERED).update(
        state=State.APPROVED if approved else State.DECLINED,
        amendment=amendment,
        version=F("version") + 1,
    ):
        raise StaleError(f"Somebody else changed {change} at the same moment.")
    decision = Decision.objects.create(
        change=change,
        answer=answer,
        name=name,
        comment=comment,
        digest=digest,
        ip=ip,
        recorded_by=display_name(by) if by else "",
        signed_on=signed_on,
    )
    change.refresh_from_db()
    match_orders_again(change.job)
    words = f"{decision.get_answer_display().lower()} by {name}"
    _tell(change, by or name, str(answer), words + (" (on paper)" if by else ""))
    tell_answer(decision=decision, what=f"Change order {change}", job=change.job)
    return decision


def _refuse(change: ChangeOrder, *, answer: str, digest: str) -> None:
    decision = Decision.objects.filter(change=change).first()
    if decision is not None:
        raise DecidedError(decided_words(decision), decision)
    if change.state != State.OFFERED:
        raise QuoteError(
            f"{change} is {change.get_state_display().lower()}, so it cannot be answered. "
            "Ask the shop for the current one."
        )
    if digest != change.digest:
        raise StaleError("The change is not the one that was shown to you. Look at it again.")
    if change_digest(change) != change.digest:
        raise QuoteError(f"The stored lines of {change} are not those that were offered.")
    if answer == Decision.Answer.APPROVED and change.quote.state != Quote.State.APPROVED:
        raise QuoteError(f"{change} changes {change.quote}, which is not the approved revision.")


def _price(change: ChangeOrder, items: list[PricedInput]) -> None:
    found = priced(change, items)
    change.lines, change.amount_cents = found.lines, found.amount_cents


def _claim(change: ChangeOrder, version: int) -> None:
    """Take the draft for this change, or say why not. The row is locked until the commit."""
    lock(change.job)
    if ChangeOrder.objects.filter(pk=change.pk, state=State.DRAFT, version=version).update(
        version=F("version") + 1
    ):
        change.refresh_from_db()
        return
    change.refresh_from_db()
    if change.state != State.DRAFT:
        raise StaleError(f"{change} is {change.get_state_display().lower()}; it stays as it is.")
    raise StaleError(f"Somebody else changed {change} after you opened this page.")


def _tell(change: ChangeOrder, by: Any, verb: str, what: str) -> None:
    record(by=by, verb=verb, subject=change, job=change.job.number, sentence=f"{change}: {what}.")
