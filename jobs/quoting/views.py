"""The office's quote pages: the list, one revision, its terms, two revisions compared."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, has_role, role_required
from jobs.documents.models import Document
from jobs.documents.responses import document_status, download
from jobs.intake.models import CustomerLink, Job
from jobs.intake.pages import form_page, posted
from jobs.quoting import actions, decisions
from jobs.quoting.comparison import total_change_cents
from jobs.quoting.contract import contract_of
from jobs.quoting.documents import deposit_words
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.forms import ASKED, TermsForm
from jobs.quoting.margin import margin_of
from jobs.quoting.models import LineKind, Quote
from jobs.quoting.offers import offer_blockers
from jobs.quoting.revisions import changes_between, last_offered_before
from jobs.quoting.sheet import quote_sheet

PLACE = "jobs/quoting/{}.html".format
EDIT = ["GET", "HEAD", "POST"]


def get_job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("agency"), number=number)


def get_quote(number: str, revision: str) -> Quote:
    rows = Quote.objects.select_related("job__agency", "document", "offered_by")
    return get_object_or_404(rows, job__number=number, revision=revision)


def to_quote(quote: Quote) -> HttpResponse:
    return redirect("jobs:quote_detail", quote.job.number, quote.revision)


@any_role
@require_safe
def quote_list(request: HttpRequest, number: str) -> HttpResponse:
    """All revisions, the customer's orders and the changes, with what the contract comes to."""
    job = get_job(number)
    money = has_role(request.user, MANAGER)
    quotes = list(job.quotes.all())
    context = {
        "job": job,
        "money": money,
        "quotes": quotes,
        "draft": next((one for one in quotes if one.state == Quote.State.DRAFT), None),
        "contract": contract_of(job),
        "orders": job.purchase_orders.select_related("quote") if money else (),
        "changes": job.changes.all(),
        "unit_count": job.units.count(),
    }
    return render(request, PLACE("quote_list"), context)


@any_role
@require_safe
def quote_detail(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    return detail_page(request, get_quote(number, revision))


def detail_page(
    request: HttpRequest, quote: Quote, *, problem: str = "", status: int = 200
) -> HttpResponse:
    """One revision; with a problem it is the answer to an action that was refused."""
    money = has_role(request.user, MANAGER)
    context: dict[str, Any] = {
        "job": quote.job,
        "quote": quote,
        "money": money,
        "sheet": quote_sheet(quote, money=money),
        "problem": problem,
        "units": quote.job.units.all(),
        "decision": getattr(quote, "decision", None),
    }
    if money:
        context |= _for_managers(quote)
    return render(request, PLACE("quote_detail"), context, status=status)


def _for_managers(quote: Quote) -> dict[str, Any]:
    draft = quote.state == Quote.State.DRAFT
    before = last_offered_before(quote)
    today = timezone.localdate()
    return {
        "blockers": offer_blockers(quote, on=today) if draft else [],
        "expired": quote.state == Quote.State.OFFERED and quote.valid_until < today,
        "before": before,
        "difference_cents": quote.total_cents - before.total_cents if before else 0,
        "margin": margin_of(quote),
        "deposit": deposit_words(quote) if quote.deposit_bp else "",
        "kinds": [(kind.value, LineKind(kind).label.lower()) for kind in ASKED],
        "has_draft": quote.job.quotes.filter(state=Quote.State.DRAFT).exists(),
        "links": CustomerLink.objects.filter(
            purpose=CustomerLink.Purpose.QUOTE, subject_id=quote.pk
        ),
    }


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_edit(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    if quote.state != Quote.State.DRAFT:
        return detail_page(request, quote, problem=frozen_words(quote), status=409)
    form = TermsForm(posted(request), instance=quote)
    context = {"job": quote.job, "quote": quote}
    if form.is_valid():
        try:
            actions.edit_terms(
                quote=quote,
                version=form.cleaned_data["version"],
                fields=form.values(),
                by=request.user,
            )
        except StaleError as error:
            stored = get_quote(number, revision)
            if stored.state != Quote.State.DRAFT:
                return detail_page(request, stored, problem=str(error), status=409)
            fresh, differences = form.after_conflict(stored)
            context |= {"form": fresh, "differences": differences}
            return render(request, PLACE("quote_edit"), context, status=409)
        messages.success(request, f"Saved the terms of {quote}.")
        return to_quote(quote)
    return form_page(request, PLACE("quote_edit"), form, context)


def frozen_words(quote: Quote) -> str:
    state = quote.get_state_display().lower()
    return f"{quote} is {state}; it cannot be edited. Make a new revision instead."


@role_required(MANAGER)
@require_POST
def quote_revise(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    try:
        new = actions.revise_quote(quote=quote, by=request.user)
    except QuoteError as error:
        return detail_page(request, quote, problem=str(error), status=409)
    messages.success(request, f"Revision {new.revision} is a draft, copied from {revision}.")
    return to_quote(new)


@role_required(MANAGER)
@require_POST
def quote_delete(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    try:
        actions.delete_draft(quote=quote, version=seen_version(request), by=request.user)
    except QuoteError as error:
        return detail_page(request, get_quote(number, revision), problem=str(error), status=409)
    messages.success(request, f"Deleted the draft of revision {revision}.")
    return redirect("jobs:quote_list", number)


@role_required(MANAGER)
@require_POST
def quote_offer(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    try:
        decisions.offer_quote(quote=quote, version=seen_version(request), by=request.user)
    except StaleError as error:
        return detail_page(request, get_quote(number, revision), problem=str(error), status=409)
    except QuoteError as error:
        return detail_page(request, get_quote(number, revision), problem=str(error), status=422)
    messages.success(request, f"{quote} is offered. Send it to the agency.")
    return redirect("jobs:quote_send", number, revision)


@role_required(MANAGER)
@require_POST
def quote_withdraw(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    try:
        decisions.withdraw_quote(quote=quote, by=request.user)
    except StaleError as error:
        return detail_page(request, quote, problem=str(error), status=409)
    messages.success(request, f"{quote} is withdrawn. Its links say so.")
    return to_quote(quote)


def seen_version(request: HttpRequest) -> int:
    """The version the page showed; a missing or odd one fits nothing."""
    text = request.POST.get("version", "")[:9]
    return int(text) if text.isascii() and text.isdigit() else -1


@role_required(MANAGER)
@require_safe
def quote_compare(request: HttpRequest, number: str, revision: str, other: str) -> HttpResponse:
    quote, before = get_quote(number, revision), get_quote(number, other)
    changes = changes_between(before, quote)
    context = {
        "job": quote.job,
        "quote": quote,
        "before": before,
        "changes": [change for change in changes if change.word != "same"],
        "same_count": sum(change.word == "same" for change in changes),
        "difference_cents": total_change_cents(changes),
        "others": quote.job.quotes.exclude(pk=quote.pk),
    }
    return render(request, PLACE("quote_compare"), context)


@role_required(MANAGER)
@require_POST
def quote_print(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    """A PDF of the draft for one's own eyes; an offered quote has its frozen one already."""
    actions.print_draft(quote=get_quote(number, revision))
    return redirect("jobs:quote_pdf_status", number, revision)


@role_required(MANAGER)
@require_safe
def quote_pdf(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    return download(_document(get_quote(number, revision)))


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_pdf_status(request: HttpRequest, number: str, revision: str) -> HttpResponse:
    quote = get_quote(number, revision)
    return document_status(
        request,
        _document(quote),
        download_url=reverse("jobs:quote_pdf", args=[number, revision]),
        back_url=reverse("jobs:quote_detail", args=[number, revision]),
    )


def _document(quote: Quote) -> Document:
    if quote.document is None:
        raise Http404(f"{quote} has no PDF yet; it is made when the quote is offered.")
    return quote.document
