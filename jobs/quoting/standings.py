"""Where a job stands with quote, approval and changes. No amounts: everybody reads it."""

from collections.abc import Sequence
from datetime import date

from django.urls import reverse
from django.utils import timezone

from config.access import MANAGER
from jobs.intake.models import Job
from jobs.intake.spine import Action, Now, Standing, register
from jobs.quoting.models import ChangeOrder, PurchaseOrder, Quote
from jobs.quoting.words import day_words

State = Quote.State
Quotes = dict[str, Quote]


def _by_state(jobs: Sequence[Job]) -> dict[int, Quotes]:
    """The latest quote of each job in each state."""
    found: dict[int, Quotes] = {job.pk: {} for job in jobs}
    for quote in Quote.objects.filter(job__in=jobs).order_by("id"):
        found[quote.job_id][quote.state] = quote
    return found


def quote_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    quotes = _by_state(jobs)
    return {job.pk: _quoted(job, quotes[job.pk]) for job in jobs}


def _quoted(job: Job, quotes: Quotes) -> Standing:
    shown = quotes.get(State.APPROVED) or quotes.get(State.OFFERED)
    if shown:
        return Standing(now=Now.DONE, detail=str(shown))
    draft = quotes.get(State.DRAFT)
    if draft:
        action = _act(f"Finish the draft of revision {draft.revision}", _quote_url(job, draft))
        return Standing(now=Now.OPEN, detail=f"Revision {draft.revision} is a draft", action=action)
    url = reverse("jobs:quote_list", args=[job.number])
    if quotes:
        last = max(quotes.values(), key=lambda quote: quote.pk)
        detail = f"Revision {last.revision} is {last.get_state_display().lower()}"
        return Standing(now=Now.OPEN, detail=detail, action=_act("Make a new revision", url))
    return Standing(now=Now.LATER, action=_act("Draft the quote", url))


def approval_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    quotes, today = _by_state(jobs), timezone.localdate()
    held: dict[int, list[PurchaseOrder]] = {}
    for order in PurchaseOrder.objects.filter(job__in=jobs, held=True):
        held.setdefault(order.job_id, []).append(order)
    return {job.pk: _approved(job, quotes[job.pk], held.get(job.pk, []), today) for job in jobs}


def _approved(job: Job, quotes: Quotes, held: list[PurchaseOrder], today: date) -> Standing:
    approved, offered = quotes.get(State.APPROVED), quotes.get(State.OFFERED)
    if approved and not held:
        return Standing(now=Now.DONE, detail=str(approved))
    if approved:
        url = reverse("jobs:order_detail", args=[job.number, held[0].pk])
        return Standing(
            now=Now.WAITING,
            waiting_for="a corrected order",
            detail=str(approved),
            blockers=tuple(
                f"Order {one.number} is held: it does not fit {approved}." for one in held
            ),
            action=_act(f"Resolve order {held[0].number}", url),
        )
    if offered is None:
        return Standing(now=Now.LATER)
    if offered.valid_until < today:
        day = day_words(offered.valid_until)
        return Standing(
            now=Now.OPEN,
            detail=f"{offered} ran out on {day}",
            blockers=(f"{offered} ran out on {day} and cannot be approved.",),
            action=_act("Make a new revision", _quote_url(job, offered)),
        )
    return Standing(
        now=Now.WAITING,
        waiting_for="the agency",
        detail=f"{offered}, valid until {day_words(offered.valid_until)}",
        action=_act(f"Ask about revision {offered.revision}", _quote_url(job, offered)),
    )


def change_standings(jobs: Sequence[Job]) -> dict[int, Standing]:
    rows: dict[int, list[ChangeOrder]] = {}
    for change in ChangeOrder.objects.filter(job__in=jobs):
        rows.setdefault(change.job_id, []).append(change)
    return {job.pk: _changes(job, rows[job.pk]) for job in jobs if job.pk in rows}


def _changes(job: Job, changes: list[ChangeOrder]) -> Standing:
    states = [change.state for change in changes]
    approved = states.count(ChangeOrder.State.APPROVED)
    detail = f"{approved} of {len(changes)} approved"
    for state, now in (
        (ChangeOrder.State.DRAFT, Now.OPEN),
        (ChangeOrder.State.OFFERED, Now.WAITING),
    ):
        first = next((change for change in changes if change.state == state), None)
        if first:
            url = reverse("jobs:change_detail", args=[job.number, first.number])
            words = f"Offer {first}" if now == Now.OPEN else f"Ask about {first}"
            return Standing(
                now=now,
                waiting_for="the agency" if now == Now.WAITING else "",
                detail=detail,
                blockers=(f"{first} is not approved; nobody works on it.",),
                action=_act(words, url),
            )
    return Standing(now=Now.DONE, detail=detail)


def _quote_url(job: Job, quote: Quote) -> str:
    return reverse("jobs:quote_detail", args=[job.number, quote.revision])


def _act(words: str, url: str) -> Action:
    return Action(words=words, url=url, roles=(MANAGER,))


register("quoted", quote_standings)
register("approved", approval_standings)
register("changes", change_standings)
