"""Telling people by e-mail what happened. The row is the queue; the worker sends it."""

from collections.abc import Iterable
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction
from django.template.loader import render_to_string

from config.access import MANAGER
from jobs.audit.record import display_name, record
from jobs.background.bell import ring_when_saved
from jobs.notices.models import Notice
from jobs.notices.post import DRAIN, HIDDEN, free
from jobs.people.models import Shop

Kind = Notice.Kind
# What each kind says when it is previewed without anything having happened.
SAMPLE: dict[str, Any] = {
    "job": "J-0001", "title": "Rescue van", "what": "Quote Q-0001 rev A", "name": "Edda Quill",
    "answer": "approved", "comment": "Please start in May.", "unit": "SR-1", "hold": "H2",
    "stage": "S4 Wiring", "reason": "Two grommets are missing.", "link": "https://shop.example/q/…",
}  # fmt: skip


def office() -> list[str]:
    """The shop's own address, else those of its office managers."""
    shop = Shop.objects.filter(pk=1).first()
    if shop and shop.email:
        return [shop.email]
    found = User.objects.filter(groups__name=MANAGER, is_active=True).exclude(email="")
    return sorted(set(found.values_list("email", flat=True)))


def words(kind: str, facts: dict[str, Any]) -> tuple[str, str]:
    """Subject and text: the first line of the template and what follows it."""
    shop = Shop.objects.filter(pk=1).first()
    text = render_to_string(f"jobs/notices/mail/{kind}.txt", {**facts, "shop": shop})
    subject, _, body = text.strip().partition("\n")
    return " ".join(subject.split())[:300], body.strip() + "\n"


def notify(
    *, kind: str, to: Iterable[str], job: str = "", by: Any = None, link: str = "", **facts: Any
) -> Notice | None:
    """Queue an e-mail with whatever is being saved. Nobody to write to: nothing."""
    people = [one for one in to if one]
    if not people:
        return None
    facts |= {"job": job, "link": HIDDEN if link else ""}
    subject, text = words(kind, facts)
    notice = Notice.objects.create(
        kind=kind, job=job, to=", ".join(people)[:600], subject=subject, text=text, link=link,
        made_by=display_name(by) if by else "",
    )  # fmt: skip
    ring_when_saved(DRAIN)
    return notice


class NoticeError(Exception):
    """Why a notice cannot be sent again, as a sentence."""


@transaction.atomic
def send_again(*, notice: Notice, by: Any) -> None:
    """Try once more at once, with all tries ahead. One that went out is left alone."""
    if HIDDEN in notice.text and not notice.link:
        raise NoticeError(
            "Its link is gone: links are kept until they are sent and for 30 days at most. "
            "Send the quote, change order or packet anew; that makes a new link."
        )
    rows = Notice.objects.filter(free(), pk=notice.pk).exclude(state=Notice.State.SENT)
    if not rows.update(state=Notice.State.WAITING, tries=0, due_at=None, error=""):
        raise NoticeError("This e-mail is being sent just now, or went out already.")
    record(
        by=by, verb="sent again", subject=notice, job=notice.job,
        sentence=f"Queued the e-mail to {notice.to} once more: {notice.subject}.",
    )  # fmt: skip
    ring_when_saved(DRAIN)


def tell_answer(*, decision: Any, what: str, job: Any) -> None:
    """The office learns what the agency said to a quote or a change order."""
    notify(
        kind=Kind.ANSWER,
        to=office(),
        job=job.number,
        what=what,
        title=job.title,
        name=decision.name,
        answer=decision.get_answer_display().lower(),
        comment=decision.comment,
    )
