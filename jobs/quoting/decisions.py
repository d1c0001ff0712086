"""Offering a revision and answering it: each is one transaction that a second try loses quietly.

What the customer saw is named by its digest. An answer to anything else is refused, and so is an
answer to a revision whose stored lines no longer give the digest that was offered.
"""

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from jobs.audit.record import display_name, record
from jobs.intake.models import Job
from jobs.notices.actions import tell_answer
from jobs.quoting.digest import quote_digest
from jobs.quoting.documents import request_quote_pdf
from jobs.quoting.errors import DecidedError, QuoteError, StaleError
from jobs.quoting.lines import lock, reprice
from jobs.quoting.models import Decision, Quote
from jobs.quoting.offers import approved_changes, certificate_words, offer_blockers
from jobs.quoting.orders import match_orders_again
from jobs.quoting.words import day_words

State = Quote.State
NO_NAME = "Type your full name."


@transaction.atomic
def offer_quote(*, quote: Quote, version: int, by: Any, at: datetime | None = None) -> Quote:
    """Freeze a draft and offer it. `at` is for offers made earlier on paper."""
    lock(quote.job)
    quote.refresh_from_db()
    if quote.state != State.DRAFT:
        raise StaleError(f"{quote} is {quote.get_state_display().lower()} already.")
    if quote.version != version:
        raise StaleError(f"Somebody else changed {quote} after you opened this page.")
    at = at or timezone.now()
    problems = offer_blockers(quote, on=timezone.localdate(at))
    if problems:
        raise QuoteError(" ".join(problems))
    _freeze(quote, at=at, by=by)
    Job.objects.filter(pk=quote.job_id, state=Job.State.ENQUIRY).update(
        state=Job.State.QUOTED, version=F("version") + 1
    )
    _tell(quote, by, "offered", f"offered, valid until {day_words(quote.valid_until)}")
    return quote


def _freeze(quote: Quote, *, at: datetime, by: Any) -> None:
    reprice(quote)
    exempt = quote.tax == Quote.Tax.EXEMPT
    quote.certificate = certificate_words(quote.job.agency) if exempt else ""
    quote.digest = quote_digest(quote)
    quote.offered_at, quote.offered_by = at, by
    quote.document = request_quote_pdf(quote)
    Quote.objects.filter(job_id=quote.job_id, state=State.OFFERED).update(state=State.SUPERSEDED)
    changed = Quote.objects.filter(pk=quote.pk, state=State.DRAFT, version=quote.version).update(
        state=State.OFFERED,
        certificate=quote.certificate,
        digest=quote.digest,
        offered_at=at,
        offered_by=by,
        document=quote.document,
        version=F("version") + 1,
    )
    if not changed:
        raise StaleError(f"Somebody else changed {quote} at the same moment.")
    quote.refresh_from_db()


@transaction.atomic
def withdraw_quote(*, quote: Quote, by: Any) -> None:
    """Take an offer back before it is answered."""
    lock(quote.job)
    if not Quote.objects.filter(pk=quote.pk, state=State.OFFERED).update(
        state=State.WITHDRAWN, version=F("version") + 1
    ):
        quote.refresh_from_db()
        raise StaleError(f"{quote} is {quote.get_state_display().lower()}; it stays so.")
    quote.refresh_from_db()
    _tell(quote, by, "withdrew", "withdrawn")


@transaction.atomic
def decide_quote(
    *,
    quote: Quote,
    answer: str,
    name: str,
    digest: str,
    comment: str = "",
    ip: str | None = None,
    by: Any = None,
    signed_on: date | None = None,
) -> Decision:
    """Write down the customer's answer, once. `by` and `signed_on` are for answers on paper."""
    lock(quote.job)
    quote.refresh_from_db()
    _refuse(quote, answer=answer, digest=digest, on=signed_on or timezone.localdate())
    refuse_early_paper(quote, signed_on)
    approved = answer == Decision.Answer.APPROVED
    if approved:
        Quote.objects.filter(job_id=quote.job_id, state=State.APPROVED).update(
            state=State.SUPERSEDED
        )
    new_state = State.APPROVED if approved else State.DECLINED
    if not Quote.objects.filter(pk=quote.pk, state=State.OFFERED).update(
        state=new_state, version=F("version") + 1
    ):
        raise StaleError(f"Somebody else changed {quote} at the same moment.")
    decision = Decision.objects.create(
        quote=quote,
        answer=answer,
        name=name,
        comment=comment,
        digest=digest,
        ip=ip,
        recorded_by=display_name(by) if by else "",
        signed_on=signed_on,
    )
    quote.refresh_from_db()
    if approved:
        _take_effect(quote)
    words = f"{decision.get_answer_display().lower()} by {name}"
    _tell(quote, by or name, str(answer), words + (" (on paper)" if by else ""))
    tell_answer(decision=decision, what=f"Quote {quote}", job=quote.job)
    return decision


def _take_effect(quote: Quote) -> None:
    waiting = (Job.State.ENQUIRY, Job.State.QUOTED)
    Job.objects.filter(pk=quote.job_id, state__in=waiting).update(
        state=Job.State.APPROVED, version=F("version") + 1
    )
    match_orders_again(quote.job)


def _refuse(quote: Quote, *, answer: str, digest: str, on: date) -> None:
    """Raise when this answer cannot be taken."""
    decision = Decision.objects.filter(quote=quote).first()
    if decision is not None:
        raise DecidedError(decided_words(decision), decision)
    if quote.state != State.OFFERED:
        raise QuoteError(
            f"{quote} is {quote.get_state_display().lower()}, so it cannot be answered. "
            "Ask the shop for the current quote."
        )
    if digest != quote.digest:
        raise StaleError("The quote is not the one that was shown to you. Look at it again.")
    if quote_digest(quote) != quote.digest:
        raise QuoteError(f"The stored lines of {quote} are not those that were offered.")
    if answer == Decision.Answer.APPROVED:
        _refuse_approval(quote, on)


def _refuse_approval(quote: Quote, on: date) -> None:
    if on > quote.valid_until:
        raise QuoteError(
            f"This quote was valid until {day_words(quote.valid_until)}. "
            "Ask the shop for a new one; prices may have changed."
        )
    if blocked := approved_changes(quote):
        raise QuoteError(" ".join(blocked))


def refuse_early_paper(row: Any, signed_on: date | None) -> None:
    """Nobody signs an offer before it was made."""
    if signed_on and signed_on < timezone.localdate(row.offered_at):
        offered = day_words(timezone.localdate(row.offered_at))
        raise QuoteError(f"The paper is of {day_words(signed_on)}, before the offer of {offered}.")


def decided_words(decision: Decision) -> str:
    """'KS-1042 rev B is approved already, by Edda Quill on 24 Mar 2026.'"""
    subject = decision.quote or decision.change
    day = decision.signed_on or timezone.localdate(decision.at)
    return (
        f"{subject} is {decision.get_answer_display().lower()} already, "
        f"by {decision.name} on {day_words(day)}."
    )


def _tell(quote: Quote, by: Any, verb: str, what: str) -> None:
    record(by=by, verb=verb, subject=quote, job=quote.job.number, sentence=f"{quote}: {what}.")
