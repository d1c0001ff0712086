"""Money pages: invoices of all jobs, a job's invoices and costs, the export."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, role_required
from jobs.build_sheet.views import job_or_404
from jobs.documents.responses import document_status, download
from jobs.intake.fields import DayField
from jobs.intake.models import Job, Unit
from jobs.intake.pages import form_page, posted
from jobs.invoicing import actions
from jobs.invoicing.costs import costs_of
from jobs.invoicing.export import invoices_csv
from jobs.invoicing.models import Invoice
from jobs.quoting.contract import contract_of

PLACE = "jobs/invoicing/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
ROWS = 50


class InvoiceFilter(forms.Form):
    STATES = [("", "To be paid"), ("paid", "Paid"), ("all", "All")]
    state = forms.ChoiceField(choices=STATES, required=False)
    since = DayField(label="Issued from", required=False)
    until = DayField(label="Issued to", required=False)

    def rows(self) -> QuerySet[Invoice]:
        rows = Invoice.objects.select_related("job__agency", "unit")
        typed = self.cleaned_data
        if typed["state"] != "all":
            rows = rows.filter(paid_on__isnull=typed["state"] != "paid")
        if typed["since"]:
            rows = rows.filter(issued_on__gte=typed["since"])
        if typed["until"]:
            rows = rows.filter(issued_on__lte=typed["until"])
        return rows.order_by("-id")


class PaymentForm(forms.Form):
    on = DayField(label="Paid on", past=True)


@role_required(MANAGER)
@require_safe
def invoice_list(request: HttpRequest) -> HttpResponse:
    form = InvoiceFilter(request.GET)
    rows = form.rows() if form.is_valid() else Invoice.objects.none()
    context = {
        "form": form,
        "page": Paginator(rows, ROWS).get_page(request.GET.get("page")),
        "today": timezone.localdate(),
        "filtered": bool(request.GET),
    }
    return render(request, PLACE("invoice_list"), context, status=200 if form.is_valid() else 422)


@role_required(MANAGER)
@require_safe
def invoice_export(request: HttpRequest) -> HttpResponse:
    """What the list shows with the same filter, as CSV."""
    form = InvoiceFilter(request.GET)
    if not form.is_valid():
        return HttpResponse("The days of the filter are not dates.", status=422)
    answer = HttpResponse(invoices_csv(form.rows()), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="invoices.csv"'
    answer["X-Content-Type-Options"] = "nosniff"
    return answer


@role_required(MANAGER)
@require_safe
def job_money(request: HttpRequest, number: str) -> HttpResponse:
    return _money(request, job_or_404(number))


def _money(request: HttpRequest, job: Job, *, problem: str = "", status: int = 200) -> HttpResponse:
    invoices = list(job.invoices.select_related("unit", "document"))
    done = {one.unit_id for one in invoices}
    context = {
        "job": job,
        "contract": contract_of(job),
        "invoices": invoices,
        "invoiced_cents": sum(one.due_cents for one in invoices),
        "left_cents": actions.left_to_invoice(job),
        "units": [
            (unit, actions.accepted_on(unit)) for unit in job.units.all() if unit.pk not in done
        ],
        "has_deposit": any(one.kind == Invoice.Kind.DEPOSIT for one in invoices),
        "costs": costs_of(job),
        "problem": problem,
    }
    return render(request, PLACE("job_money"), context, status=status)


def _try(
    request: HttpRequest, shown: Job, action: Callable[..., Invoice], **what: Any
) -> HttpResponse:
    try:
        invoice = action(by=request.user, **what)
    except actions.InvoiceError as error:
        return _money(request, shown, problem=str(error), status=409)
    messages.success(request, f"Issued invoice {invoice}.")
    return redirect("jobs:job_money", shown.number)


@role_required(MANAGER)
@require_POST
def invoice_deposit(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    return _try(request, job, actions.issue_deposit, job=job)


@role_required(MANAGER)
@require_POST
def invoice_balance(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    return _try(request, job, actions.issue_balance, job=job)


@role_required(MANAGER)
@require_POST
def invoice_unit(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    job = job_or_404(number)
    found = get_object_or_404(Unit.objects.select_related("job__agency"), job=job, number=unit)
    return _try(request, job, actions.issue_for_unit, unit=found)


def _invoice(invoice: str) -> Invoice:
    rows = Invoice.objects.select_related("job__agency", "unit", "document", "issued_by")
    return get_object_or_404(rows, number=invoice)


@role_required(MANAGER)
@require_http_methods(EDIT)
def invoice_detail(request: HttpRequest, invoice: str) -> HttpResponse:
    """One invoice with its PDF; here its payment is entered."""
    row = _invoice(invoice)
    form = PaymentForm(posted(request), initial={"on": timezone.localdate()})
    if form.is_valid():
        try:
            actions.enter_payment(invoice=row, on=form.cleaned_data["on"], by=request.user)
        except actions.InvoiceError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Invoice {row} is paid.")
            return redirect("jobs:invoice_detail", invoice)
    return form_page(request, PLACE("invoice_detail"), form, {"invoice": row, "job": row.job})


@role_required(MANAGER)
@require_safe
def invoice_pdf(request: HttpRequest, invoice: str) -> HttpResponse:
    row = _invoice(invoice)
    if row.document is None:
        raise Http404
    return download(row.document)


@role_required(MANAGER)
@require_http_methods(EDIT)
def invoice_pdf_status(request: HttpRequest, invoice: str) -> HttpResponse:
    row = _invoice(invoice)
    if row.document is None:
        raise Http404
    return document_status(
        request,
        row.document,
        download_url=reverse("jobs:invoice_pdf", args=[invoice]),
        back_url=reverse("jobs:invoice_detail", args=[invoice]),
    )
