"""What the customer opens without an account: one quote or change order, and the answer to it.

The secret leaves the address bar at once: the link sets a short cookie that only these addresses
see, and goes on to /q/. Looking never changes anything, because mail programs open links by
themselves. That page keeps its own address as referrer, since a form sent with no referrer at all
comes with the origin "null", which the check against forged forms refuses.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from config.access import public
from jobs.documents.models import Document
from jobs.documents.responses import download
from jobs.intake.links import CHANGE, QUOTE, count_miss, find_link, too_many_misses
from jobs.intake.models import CustomerLink
from jobs.quoting.answer_forms import ApproveChangeForm, ApproveForm, DeclineForm
from jobs.quoting.changes import decide_change
from jobs.quoting.decisions import decide_quote
from jobs.quoting.errors import QuoteError
from jobs.quoting.models import ChangeOrder, Decision, Quote
from jobs.quoting.shown import Shown, shown_change, shown_quote

COOKIE = "quote_link"
COOKIE_SECONDS = 3600
APPROVED, DECLINED = Decision.Answer.APPROVED, Decision.Answer.DECLINED
Answer = Callable[..., HttpResponse]


def _private(response: HttpResponse, referrer: str = "same-origin") -> HttpResponse:
    response["Cache-Control"] = "no-store"
    response["Referrer-Policy"] = referrer
    response["X-Robots-Tag"] = "noindex"
    return response


def _ip(request: HttpRequest) -> str:
    return str(request.META.get("REMOTE_ADDR") or "0.0.0.0")  # noqa: S104  behind a local socket


def _find(token: str) -> CustomerLink | None:
    return find_link(token, QUOTE) or find_link(token, CHANGE)


def _closed(request: HttpRequest, status: int) -> HttpResponse:
    """One page for unknown, expired and withdrawn links; it tells nothing else."""
    context = {"status": status}
    response = render(request, "jobs/intake/link_closed.html", context, status=status)
    if status == 429:
        response["Retry-After"] = "60"
    return response


def _link(request: HttpRequest, token: str) -> CustomerLink | HttpResponse:
    if too_many_misses(_ip(request)):
        return _closed(request, 429)
    link = _find(token)
    if link is None:
        count_miss(_ip(request))
        return _closed(request, 404)
    return link


@public
@require_safe
def quote_open(request: HttpRequest, token: str) -> HttpResponse:
    found = _link(request, token)
    if isinstance(found, HttpResponse):
        return _private(found, "no-referrer")
    response = redirect("jobs:quote_shown")
    response.set_cookie(
        COOKIE,
        token,
        max_age=COOKIE_SECONDS,
        path=reverse("jobs:quote_shown"),
        secure=settings.HTTPS,
        httponly=True,
        samesite="Lax",
    )
    return _private(response, "no-referrer")


def _with_subject(view: Answer) -> Answer:
    """Give a view the quote or change order of the cookie's link, checked anew each time."""

    @wraps(view)
    def opened(request: HttpRequest) -> HttpResponse:
        token = request.COOKIES.get(COOKIE, "")
        if not token:
            return _private(render(request, "jobs/quoting/quote_closed.html", status=404))
        found = _link(request, token)
        if isinstance(found, HttpResponse):
            return _private(found)
        return _private(view(request, _subject(found)))

    return opened


def _subject(link: CustomerLink) -> Quote | ChangeOrder:
    rows: Any = (
        Quote.objects if link.purpose == QUOTE else ChangeOrder.objects.select_related("quote")
    )
    return get_object_or_404(
        rows.select_related("job__agency", "document", "decision"), pk=link.subject_id
    )


def _shown(subject: Quote | ChangeOrder) -> Shown:
    return shown_quote(subject) if isinstance(subject, Quote) else shown_change(subject)


def _forms(subject: Quote | ChangeOrder) -> dict[str, Any]:
    approve = ApproveForm if isinstance(subject, Quote) else ApproveChangeForm
    initial = {"digest": subject.digest}
    return {
        "form": approve(initial=initial),
        "decline": DeclineForm(initial=initial, auto_id="id_decline_%s"),
    }


def _page(request: HttpRequest, subject: Any, status: int = 200, **context: Any) -> HttpResponse:
    shown = _shown(subject)
    context = {"shown": shown, **_forms(subject), **context}
    return render(request, "jobs/quoting/quote_shown.html", context, status=status)


@public
@require_safe
@_with_subject
def quote_shown(request: HttpRequest, subject: Quote | ChangeOrder) -> HttpResponse:
    return _page(request, subject)


@public
@require_POST
@_with_subject
def quote_approve(request: HttpRequest, subject: Quote | ChangeOrder) -> HttpResponse:
    form_class = ApproveForm if isinstance(subject, Quote) else ApproveChangeForm
    form = form_class(request.POST)
    if not form.is_valid():
        return _page(request, subject, 422, form=form)
    return _decide(request, subject, APPROVED, form.cleaned_data)


@public
@require_POST
@_with_subject
def quote_decline(request: HttpRequest, subject: Quote | ChangeOrder) -> HttpResponse:
    form = DeclineForm(request.POST, auto_id="id_decline_%s")
    if not form.is_valid():
        return _page(request, subject, 422, decline=form, declining=True)
    return _decide(request, subject, DECLINED, form.cleaned_data)


def _decide(
    request: HttpRequest, subject: Quote | ChangeOrder, answer: str, typed: dict[str, Any]
) -> HttpResponse:
    given = {"answer": answer, "ip": _ip(request), **typed}
    try:
        if isinstance(subject, Quote):
            decide_quote(quote=subject, **given)
        else:
            decide_change(change=subject, **given)
    except QuoteError as error:
        return _page(request, type(subject).objects.get(pk=subject.pk), 409, problem=str(error))
    return redirect("jobs:quote_shown")


@public
@require_safe
@_with_subject
def quote_shown_pdf(request: HttpRequest, subject: Quote | ChangeOrder) -> HttpResponse:
    if subject.document is None or subject.document.state != Document.State.DONE:
        raise Http404("The PDF is being made. Try again in a minute.")
    return download(subject.document)
