"""Getting an answer: a link for the customer, or what came back on paper."""

from typing import Any
from urllib.parse import quote as quoted

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from config.access import MANAGER, role_required
from jobs.intake.links import QUOTE, LinkMadeError, links_of, make_link
from jobs.intake.pages import form_page, posted
from jobs.notices.actions import Kind, notify
from jobs.notices.actions import words as words_of
from jobs.notices.models import Notice
from jobs.people.models import Shop
from jobs.quoting.answer_forms import RecordChangeForm, RecordForm, SendForm
from jobs.quoting.changes import decide_change
from jobs.quoting.decisions import decide_quote
from jobs.quoting.errors import DecidedError, QuoteError
from jobs.quoting.models import ChangeOrder, Quote
from jobs.quoting.views import EDIT, PLACE, detail_page, get_quote, to_quote


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_send(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    if quote.state != Quote.State.OFFERED:
        words = f"{quote} is {quote.get_state_display().lower()}; only an offered quote is sent."
        return detail_page(request, quote, problem=words, status=409)
    form = SendForm(posted(request), job=quote.job, total_cents=quote.total_cents)
    context = {"job": quote.job, "quote": quote, "subject": quote}
    return send_page(request, form, context, purpose=QUOTE, subject=quote)


def send_page(
    request: HttpRequest,
    form: SendForm,
    context: dict[str, Any],
    *,
    purpose: str,
    subject: Quote | ChangeOrder,
) -> HttpResponse:
    """Ask who gets the link; then show it, this once."""
    form.fields["seen"].initial = links_of(purpose, subject.pk).count()
    if not form.is_valid():
        return _ask_page(request, form, context, subject)
    try:
        _, token = make_link(
            job=subject.job,
            purpose=purpose,
            subject_id=subject.pk,
            sent_to=form.sent_to,
            by=request.user,
            seen=form.cleaned_data["seen"],
        )
    except LinkMadeError as error:
        form.add_error(None, str(error))
        form.data = form.data.copy()
        form.data["seen"] = str(form.fields["seen"].initial)
        return _ask_page(request, form, context, subject, status=409)
    url = settings.PUBLIC_URL + reverse("jobs:quote_open", args=[token])
    context |= {
        "notice": _write_to(request, form, subject, url),
        "url": url,
        "sent_to": form.sent_to,
        "mail": mail_link(form.email, subject, url),
    }
    response = render(request, PLACE("quote_sent"), context)
    response["Cache-Control"] = "no-store"
    return response


def _ask_page(
    request: HttpRequest,
    form: SendForm,
    context: dict[str, Any],
    subject: Quote | ChangeOrder,
    status: int | None = None,
) -> HttpResponse:
    sample = _facts(subject) | {"link": f"{settings.PUBLIC_URL}/q/…"}
    context["letter"] = words_of(_kind(subject), sample)
    page = form_page(request, PLACE("quote_send"), form, context)
    page.status_code = status or page.status_code
    return page


def _write_to(
    request: HttpRequest, form: SendForm, subject: Quote | ChangeOrder, url: str
) -> Notice | None:
    """The link goes out by e-mail as well, when the person's address is known."""
    return notify(
        kind=_kind(subject),
        to=[form.email],
        job=subject.job.number,
        by=request.user,
        link=url,
        **_facts(subject),
    )


def _kind(subject: Quote | ChangeOrder) -> str:
    return Kind.QUOTE if isinstance(subject, Quote) else Kind.CHANGE


def _facts(subject: Quote | ChangeOrder) -> dict[str, str]:
    """What the e-mail says besides the link."""
    what = f"Quote {subject}" if isinstance(subject, Quote) else f"Change order {subject}"
    return {"what": what, "title": subject.job.title}


def mail_link(email: str, subject: Quote | ChangeOrder, url: str) -> str:
    """An address that opens the person's own mail program with the letter written."""
    shop = Shop.objects.get(pk=1)
    what = f"Quote {subject}" if isinstance(subject, Quote) else f"Change order {subject}"
    head = f"{what} from {shop.name}: {subject.job.title}"
    body = (
        f"Look at it and approve or decline it here:\n{url}\n\n"
        f"The link works without an account for 30 days. Keep it to yourself.\n\n"
        f"{shop.name}\n{shop.phone}"
    )
    return f"mailto:{quoted(email)}?subject={quoted(head)}&body={quoted(body)}"


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_record(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    """An answer that came on paper. It counts like one given with the link."""
    quote = get_quote(number, revision)
    form = RecordForm(posted(request), initial={"digest": quote.digest})
    context = {"job": quote.job, "quote": quote, "subject": quote}
    if form.is_valid():
        try:
            decision = decide_quote(quote=quote, by=request.user, **form.cleaned_data)
        except DecidedError as error:
            return detail_page(request, quote, problem=str(error), status=409)
        except QuoteError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Recorded: {decision}.")
            return to_quote(quote)
    return form_page(request, PLACE("quote_record"), form, context)


def record_change_page(request: HttpRequest, change: ChangeOrder) -> HttpResponse:
    form = RecordChangeForm(posted(request), initial={"digest": change.digest})
    context = {"job": change.job, "quote": change.quote, "subject": change}
    if form.is_valid():
        try:
            decision = decide_change(change=change, by=request.user, **form.cleaned_data)
        except QuoteError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Recorded: {decision}.")
            return redirect("jobs:change_detail", change.job.number, change.number)
    return form_page(request, PLACE("quote_record"), form, context)
