"""Telling people by e-mail what happened. A post that is down never undoes what happened."""

import logging
from collections.abc import Iterable
from typing import Any

from django.contrib.auth.models import User
from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.template.loader import render_to_string

from config.access import MANAGER
from jobs.audit.record import display_name
from jobs.notices.models import Notice
from jobs.people.models import Shop

log = logging.getLogger(__name__)
# What is kept in place of a secret link.
HIDDEN = "(the link was in the e-mail)"
Kind, State = Notice.Kind, Notice.State
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


def html_twin(subject: str, text: str) -> str:
    return render_to_string("jobs/notices/twin.html", {"subject": subject, "text": text})


def notify(
    *, kind: str, to: Iterable[str], job: str = "", by: Any = None, link: str = "", **facts: Any
) -> Notice | None:
    """Write to people once the running transaction is saved. Nobody to write to: nothing."""
    people = [one for one in to if one]
    if not people:
        return None
    facts |= {"job": job}
    subject, text = words(kind, {**facts, "link": link})
    _, kept = words(kind, {**facts, "link": HIDDEN if link else ""})
    notice = Notice.objects.create(
        kind=kind, job=job, to=", ".join(people)[:600], subject=subject, text=kept,
        made_by=display_name(by) if by else "",
    )  # fmt: skip
    transaction.on_commit(lambda: _send(notice, people, subject, text), robust=True)
    return notice


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


def _send(notice: Notice, people: list[str], subject: str, text: str) -> None:
    mail = EmailMultiAlternatives(subject, text, to=people)
    mail.attach_alternative(html_twin(subject, text), "text/html")
    try:
        mail.send()
    except (OSError, ValueError) as error:  # SMTP, the network; an address that is none
        log.warning("The notice %s was not sent: %s", notice.pk, error)
        Notice.objects.filter(pk=notice.pk).update(state=State.FAILED, error=str(error)[:300])
        notice.state = State.FAILED
    else:
        Notice.objects.filter(pk=notice.pk).update(state=State.SENT)
        notice.state = State.SENT
