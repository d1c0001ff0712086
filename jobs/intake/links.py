"""Links for people without an account. The secret is shown once; only its hash is kept.

link, token = make_link(job=job, purpose=QUOTE, subject_id=quote.pk, sent_to="...", by=user)
url = settings.PUBLIC_URL + reverse("jobs:quote_open", args=[token])

@public
@opened_by_link(QUOTE)
def quote_open(request, link): ...
"""

import hashlib
import secrets
from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from jobs.audit.record import record
from jobs.intake.misses import count_miss, too_many_misses
from jobs.intake.models import CustomerLink, Job

QUOTE = CustomerLink.Purpose.QUOTE
CHANGE = CustomerLink.Purpose.CHANGE
PACKET = CustomerLink.Purpose.PACKET
VALID_FOR = timedelta(days=30)
TOKEN_BYTES = 32


class LinkMadeError(Exception):
    """Somebody made a link of the same a moment ago. The message is a sentence for the person."""


class LinkGoneError(Exception):
    """The link was revoked already. The message is a sentence for the person."""


def hash_of(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def links_of(purpose: str, subject_id: int) -> QuerySet[CustomerLink]:
    return CustomerLink.objects.filter(purpose=purpose, subject_id=subject_id)


def _what(link: CustomerLink) -> str:
    return f"{link.sent_to or 'the agency'}: {link.get_purpose_display().lower()}"


@transaction.atomic
def make_link(
    *, job: Job, purpose: str, subject_id: int, sent_to: str, by: Any, seen: int | None = None
) -> tuple[CustomerLink, str]:
    """A new link and its secret. The secret cannot be read again afterwards.

    `seen` is how many links of the same there were when the page was made: a double click makes
    and sends one.
    """
    if seen is not None:
        Job.objects.select_for_update().get(pk=job.pk)
        made = links_of(purpose, subject_id)
        if made.count() != seen:
            newest = made.order_by("id").last()
            raise LinkMadeError(
                f"A link for {newest.sent_to if newest else 'nobody'} was made after you opened "
                "this page. If that was you, it is done; make another only for somebody else."
            )
    token = secrets.token_urlsafe(TOKEN_BYTES)
    link = CustomerLink.objects.create(
        job=job,
        purpose=purpose,
        subject_id=subject_id,
        token_sha256=hash_of(token),
        sent_to=sent_to,
        created_by=by.get_full_name() or by.get_username(),
        expires_at=timezone.now() + VALID_FOR,
    )
    record(
        by=by,
        verb="sent",
        subject=link,
        job=job.number,
        sentence=f"Made a link for {_what(link)}.",
    )
    return link, token


def valid_links() -> QuerySet[CustomerLink]:
    """Links that open something now: not revoked, not expired, of a job that still goes on."""
    return CustomerLink.objects.filter(
        Q(revoked_at__isnull=True), expires_at__gt=timezone.now()
    ).exclude(job__state=Job.State.CANCELLED)


def find_link(token: str, purpose: str) -> CustomerLink | None:
    """The link of this secret; None alike for unknown, expired and revoked ones."""
    found = valid_links().filter(token_sha256=hash_of(token), purpose=purpose)
    link = found.select_related("job__agency").first()
    if link is not None:
        CustomerLink.objects.filter(pk=link.pk).update(last_used_at=timezone.now())
    return link


@transaction.atomic
def revoke_link(*, link: CustomerLink, by: Any) -> None:
    now = timezone.now()
    if not CustomerLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=now):
        raise LinkGoneError(f"The link for {_what(link)}, is withdrawn already.")
    record(
        by=by,
        verb="withdrew",
        subject=link,
        job=link.job.number,
        sentence=f"Withdrew the link for {_what(link)}.",
    )


def opened_by_link(purpose: str) -> Callable[[Callable[..., HttpResponse]], Any]:
    """Give a public view its link instead of the token; answer 404 and 429 for it.

    No answer is stored, indexed or passed on as a referrer, because its address is the secret.
    """

    def mark(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
        @wraps(view)
        def opened(request: HttpRequest, token: str, *args: Any, **kwargs: Any) -> HttpResponse:
            response = _answer(request, token, purpose, view, *args, **kwargs)
            response["Cache-Control"] = "no-store"
            # "no-referrer" would make the browser send forms with a null origin, which are refused.
            response["Referrer-Policy"] = "same-origin"
            response["X-Robots-Tag"] = "noindex"
            return response

        return opened

    return mark


def _answer(
    request: HttpRequest,
    token: str,
    purpose: str,
    view: Callable[..., HttpResponse],
    *args: Any,
    **kwargs: Any,
) -> HttpResponse:
    ip = request.META.get("REMOTE_ADDR") or "0.0.0.0"  # noqa: S104  behind a local socket
    if too_many_misses(ip):
        return _closed(request, 429)
    link = find_link(token, purpose)
    if link is None:
        count_miss(ip)
        return _closed(request, 404)
    return view(request, link, *args, **kwargs)


def _closed(request: HttpRequest, status: int) -> HttpResponse:
    response = render(request, "jobs/intake/link_closed.html", {"status": status}, status=status)
    if status == 429:
        response["Retry-After"] = "60"
    return response
