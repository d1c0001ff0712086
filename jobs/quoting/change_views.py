"""Change orders: drafted with signed lines, offered by link, answered once."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.documents.responses import document_status, download
from jobs.intake.links import CHANGE
from jobs.intake.models import CustomerLink
from jobs.intake.pages import form_page, posted
from jobs.quoting import changes
from jobs.quoting.answer_forms import SendForm
from jobs.quoting.answer_views import record_change_page, send_page
from jobs.quoting.change_forms import ChangeForm, ChangeLineForm
from jobs.quoting.change_lines import items_of
from jobs.quoting.contract import contract_of
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.models import ChangeOrder, Quote
from jobs.quoting.sheet import change_sheet
from jobs.quoting.views import EDIT, PLACE, get_job, seen_version

State = ChangeOrder.State


def _change(number: str, change: int) -> ChangeOrder:
    rows = ChangeOrder.objects.select_related(
        "job__agency", "quote", "document", "offered_by", "photo"
    )
    return get_object_or_404(rows, job__number=number, number=change)


def _to(change: ChangeOrder) -> HttpResponse:
    return redirect("jobs:change_detail", change.job.number, change.number)


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_new(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    contract = contract_of(job)
    if contract is None:
        latest = job.quotes.exclude(state=Quote.State.DRAFT).last() or job.quotes.last()
        status = 409 if request.method == "POST" else 200
        return render(request, PLACE("change_early"), {"job": job, "quote": latest}, status=status)
    form = ChangeForm(posted(request), instance=ChangeOrder(job=job))
    if form.is_valid():
        try:
            change = changes.draft_change(job=job, by=request.user, **form.values())
        except QuoteError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Drafted {change}. Add its lines, or offer it without cost.")
            return _to(change)
    return form_page(request, PLACE("change_new"), form, {"job": job, "contract": contract})


@any_role
@require_safe
def change_detail(request: HttpRequest, number: str, change: int) -> HttpResponse:
    return _page(request, _change(number, change))


def _page(
    request: HttpRequest, change: ChangeOrder, *, problem: str = "", status: int = 200
) -> HttpResponse:
    money = has_role(request.user, MANAGER)
    context: dict[str, Any] = {
        "job": change.job,
        "change": change,
        "money": money,
        "may_design": has_role(request.user, MANAGER, DESIGNER),
        "sheet": change_sheet(change, money=money),
        "decision": getattr(change, "decision", None),
        "problem": problem,
    }
    if money:
        context["contract"] = contract_of(change.job)
        context["links"] = CustomerLink.objects.filter(purpose=CHANGE, subject_id=change.pk)
    return render(request, PLACE("change_detail"), context, status=status)


def _frozen(change: ChangeOrder) -> str:
    return f"{change} is {change.get_state_display().lower()}; it stays as it is."


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_edit(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    if row.state != State.DRAFT:
        return _page(request, row, problem=_frozen(row), status=409)
    form = ChangeForm(posted(request), instance=row)
    context = {"job": row.job, "change": row}
    if form.is_valid():
        version = form.cleaned_data["version"]
        try:
            changes.edit_change(change=row, version=version, by=request.user, **form.values())
        except StaleError as error:
            stored = _change(number, change)
            if stored.state != State.DRAFT:
                return _page(request, stored, problem=str(error), status=409)
            fresh, differences = form.after_conflict(stored)
            context |= {"form": fresh, "differences": differences}
            return render(request, PLACE("change_edit"), context, status=409)
        messages.success(request, f"Saved {row}.")
        return _to(row)
    return form_page(request, PLACE("change_edit"), form, context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_line_new(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    if row.state != State.DRAFT:
        return _page(request, row, problem=_frozen(row), status=409)
    form = ChangeLineForm(posted(request), initial={"version": row.version, "quantity": 1})
    context = {"job": row.job, "change": row, "sections": _sections(row)}
    if form.is_valid():
        version = form.cleaned_data["version"]
        lines = [*items_of(row), form.item()]
        try:
            changes.set_change_lines(change=row, version=version, lines=lines, by=request.user)
        except StaleError as error:
            stored = _change(number, change)
            if stored.state != State.DRAFT:
                return _page(request, stored, problem=str(error), status=409)
            data = form.data.copy()
            data["version"] = str(stored.version)
            context |= {"form": ChangeLineForm(data), "change": stored, "problem": str(error)}
            return render(request, PLACE("change_line_new"), context, status=409)
        messages.success(request, f"Added '{form.item().description}'.")
        return _to(row)
    return form_page(request, PLACE("change_line_new"), form, context)


def _sections(change: ChangeOrder) -> list[str]:
    found = change.quote.lines.filter(kind="part").values_list("section", flat=True)
    return list(dict.fromkeys(found))


@role_required(MANAGER)
@require_POST
def change_line_remove(request: HttpRequest, number: str, change: int, line: int) -> HttpResponse:
    row = _change(number, change)
    items = items_of(row)
    if line >= len(items):
        raise Http404(f"{row} has no line {line + 1}.")
    kept = [item for place, item in enumerate(items) if place != line]
    try:
        version = seen_version(request)
        changes.set_change_lines(change=row, version=version, lines=kept, by=request.user)
    except StaleError as error:
        return _page(request, _change(number, change), problem=str(error), status=409)
    messages.success(request, f"Removed '{items[line].description}'.")
    return _to(row)


@role_required(MANAGER)
@require_POST
def change_offer(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    try:
        changes.offer_change(change=row, version=seen_version(request), by=request.user)
    except QuoteError as error:
        return _page(request, _change(number, change), problem=str(error), status=409)
    messages.success(request, f"{row} is offered. Send it to the agency.")
    return redirect("jobs:change_send", number, change)


@role_required(MANAGER)
@require_POST
def change_withdraw(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    try:
        changes.withdraw_change(change=row, by=request.user)
    except StaleError as error:
        return _page(request, row, problem=str(error), status=409)
    messages.success(request, f"{row} is withdrawn.")
    return _to(row)


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_send(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    if row.state != State.OFFERED:
        return _page(request, row, problem=f"{row} is not offered yet.", status=409)
    form = SendForm(posted(request), job=row.job, total_cents=row.amount_cents)
    context = {"job": row.job, "quote": row.quote, "change": row, "subject": row}
    return send_page(request, form, context, purpose=CHANGE, subject=row)


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_record(request: HttpRequest, number: str, change: int) -> HttpResponse:
    """An answer that came on paper."""
    return record_change_page(request, _change(number, change))


@role_required(MANAGER)
@require_safe
def change_pdf(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    if row.document is None:
        raise Http404(f"{row} has no PDF yet; it is made when the change is offered.")
    return download(row.document)


@role_required(MANAGER)
@require_http_methods(EDIT)
def change_pdf_status(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    if row.document is None:
        raise Http404(f"{row} has no PDF yet; it is made when the change is offered.")
    return document_status(
        request,
        row.document,
        download_url=reverse("jobs:change_pdf", args=[number, change]),
        back_url=reverse("jobs:change_detail", args=[number, change]),
    )
