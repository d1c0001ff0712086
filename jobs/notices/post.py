"""The queue of e-mail: claimed by conditional update, leased, tried again, given up with a reason.

A worker that dies between the post server's yes and its own note sends the e-mail a second time:
that is better than never.
"""

import logging
from datetime import timedelta
from smtplib import SMTPRecipientsRefused

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.db.models import F, Q
from django.db.models.functions import Now
from django.template.loader import render_to_string
from django.utils import timezone

from jobs.notices.models import Notice

log = logging.getLogger(__name__)
DRAIN = "jobs.drain_notices"
State = Notice.State
# What stands in a kept text in place of a secret link.
HIDDEN = "(the link was in the e-mail)"
LEASE = timedelta(seconds=120)
# How long after each failed try the next one comes.
WAITS = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 30, 120))
LINK_DAYS = 30


def free() -> Q:
    return Q(lease_until__isnull=True) | Q(lease_until__lt=Now())


def waiting() -> Q:
    """E-mail whose time has come and that nobody is sending."""
    due = Q(due_at__isnull=True) | Q(due_at__lte=Now())
    return free() & due & Q(state=State.WAITING)


def claim_notice() -> Notice | None:
    """Take one waiting e-mail, or None. Two workers never get the same one."""
    for pk in Notice.objects.filter(waiting()).order_by("id").values_list("pk", flat=True)[:20]:
        taken = Notice.objects.filter(waiting(), pk=pk).update(
            lease_until=Now() + LEASE, tries=F("tries") + 1
        )
        if taken:
            return Notice.objects.get(pk=pk)
    return None


def release_all() -> None:
    """Give back everything claimed. Only for a worker that knows it is the only one, starting."""
    Notice.objects.filter(state=State.WAITING).update(lease_until=None)


def forget_links() -> None:
    """Links of e-mail that never went out have ended by themselves after so many days."""
    gone = timezone.now() - timedelta(days=LINK_DAYS)
    Notice.objects.filter(at__lt=gone).exclude(link="").update(link="")


def html_twin(subject: str, text: str) -> str:
    return render_to_string("jobs/notices/twin.html", {"subject": subject, "text": text})


def deliver(notice: Notice) -> None:
    """Hand a claimed e-mail to the post server and note how that ended."""
    if HIDDEN in notice.text and not notice.link:
        _failed(notice, "Its link is gone; send the quote, change order or packet anew.")
        return
    text = notice.text.replace(HIDDEN, notice.link) if notice.link else notice.text
    mail = EmailMultiAlternatives(notice.subject, text, to=notice.to.split(", "))
    mail.attach_alternative(html_twin(notice.subject, text), "text/html")
    try:
        mail.send()
    except SMTPRecipientsRefused as error:
        _failed(notice, _refusal(error), again=not _for_good(error))
    except ValueError as error:  # an address or a subject that is none
        _failed(notice, f"{notice.to}: {error}")
    except OSError as error:  # SMTP and the network
        where = f"{settings.EMAIL_HOST}:{settings.EMAIL_PORT}"
        _failed(notice, f"The post server {where}: {error.strerror or error}", again=True)
    except Exception as error:
        log.exception("The notice %s broke while it was sent", notice.pk)
        _failed(notice, type(error).__name__, again=True)
    else:
        _end(notice, state=State.SENT, error="", link="", sent_at=Now())


def _refusal(error: SMTPRecipientsRefused) -> str:
    said = (
        f"{address} was refused ({code} {words.decode(errors='replace')})"
        for address, (code, words) in error.recipients.items()
    )
    return "; ".join(said)


def _for_good(error: SMTPRecipientsRefused) -> bool:
    return all(code >= 500 for code, _ in error.recipients.values())


def _failed(notice: Notice, why: str, *, again: bool = False) -> None:
    log.warning("The notice %s was not sent: %s", notice.pk, why)
    if again and notice.tries <= len(WAITS):
        _end(notice, error=why[:300], due_at=Now() + WAITS[notice.tries - 1])
    else:
        _end(notice, error=why[:300], state=State.FAILED)


def _end(notice: Notice, **changes: object) -> None:
    """Note the end, unless another worker took the e-mail over meanwhile."""
    Notice.objects.filter(pk=notice.pk, state=State.WAITING, tries=notice.tries).update(
        lease_until=None, **changes
    )
