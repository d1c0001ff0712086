"""Lines of a draft: added, changed, removed. Each save is guarded by the whole quote's version."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_POST

from config.access import MANAGER, role_required
from jobs.intake.pages import form_page, posted
from jobs.quoting import actions
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.forms import ASKED, LineForm, new_line
from jobs.quoting.models import Quote, QuoteLine
from jobs.quoting.pricing import COMPUTED, Kind
from jobs.quoting.views import (
    EDIT,
    PLACE,
    detail_page,
    frozen_words,
    get_quote,
    seen_version,
    to_quote,
)


def _context(quote: Quote, row: QuoteLine) -> dict[str, Any]:
    sections = quote.lines.filter(kind=Kind.PART).values_list("section", flat=True)
    return {
        "job": quote.job,
        "quote": quote,
        "line": row,
        "sections": list(dict.fromkeys(sections)),
    }


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_line_new(request: HttpRequest, number: str, revision: str, kind: str) -> HttpResponse:
    if kind not in {one.value for one in ASKED}:
        raise Http404(f"There are no lines of the kind {kind!r}.")
    quote = get_quote(number, revision)
    if quote.state != Quote.State.DRAFT:
        return detail_page(request, quote, problem=frozen_words(quote), status=409)
    row = new_line(quote, Kind(kind))
    form = LineForm(posted(request), instance=row, quote=quote)
    context = _context(quote, row)
    if form.is_valid():
        try:
            actions.add_item(
                quote=quote,
                version=form.cleaned_data["version"],
                item=form.item(),
                by=request.user,
            )
        except StaleError as error:
            return _new_after_conflict(request, get_quote(number, revision), form, error)
        messages.success(request, f"Added '{form.item().description}'.")
        return to_quote(quote)
    return form_page(request, PLACE("quote_line_new"), form, context)


def _new_after_conflict(
    request: HttpRequest, stored: Quote, form: LineForm, error: StaleError
) -> HttpResponse:
    """The same entries on what is stored now; saving once more adds the line."""
    if stored.state != Quote.State.DRAFT:
        return detail_page(request, stored, problem=str(error), status=409)
    data = form.data.copy()
    data["version"] = str(stored.version)
    row = new_line(stored, form.kind)
    fresh = LineForm(data, instance=row, quote=stored)
    context = {**_context(stored, row), "form": fresh, "problem": str(error)}
    return render(request, PLACE("quote_line_new"), context, status=409)


def _row(quote: Quote, line: int) -> QuoteLine:
    row = get_object_or_404(quote.lines.exclude(kind__in=COMPUTED), pk=line)
    row.quote = quote
    return row


@role_required(MANAGER)
@require_http_methods(EDIT)
def quote_line_edit(request: HttpRequest, number: str, revision: str, line: int) -> HttpResponse:
    quote = get_quote(number, revision)
    row = _row(quote, line)
    if quote.state != Quote.State.DRAFT:
        return detail_page(request, quote, problem=frozen_words(quote), status=409)
    form = LineForm(posted(request), instance=row, quote=quote)
    context = _context(quote, row)
    if form.is_valid():
        try:
            actions.change_item(
                row=row,
                version=form.cleaned_data["version"],
                item=form.item(),
                by=request.user,
            )
        except StaleError as error:
            return _edit_after_conflict(request, get_quote(number, revision), row, form, error)
        messages.success(request, f"Saved '{row.description}'.")
        return to_quote(quote)
    return form_page(request, PLACE("quote_line_edit"), form, context)


def _edit_after_conflict(
    request: HttpRequest, stored: Quote, row: QuoteLine, form: LineForm, error: StaleError
) -> HttpResponse:
    now = stored.lines.filter(pk=row.pk).first()
    if stored.state != Quote.State.DRAFT or now is None:
        return detail_page(request, stored, problem=str(error), status=409)
    now.quote = stored
    now.version = stored.version  # type: ignore[attr-defined]
    fresh, differences = form.after_conflict(now, quote=stored)
    context = _context(stored, now)
    context |= {"form": fresh, "differences": differences, "problem": str(error)}
    return render(request, PLACE("quote_line_edit"), context, status=409)


@role_required(MANAGER)
@require_POST
def quote_line_remove(request: HttpRequest, number: str, revision: str, line: int) -> HttpResponse:
    quote = get_quote(number, revision)
    row = _row(quote, line)
    try:
        actions.remove_item(row=row, version=seen_version(request), by=request.user)
    except StaleError as error:
        return detail_page(request, get_quote(number, revision), problem=str(error), status=409)
    except QuoteError as error:
        return detail_page(request, quote, problem=str(error), status=422)
    messages.success(request, f"Removed '{row.description}'.")
    return to_quote(quote)
