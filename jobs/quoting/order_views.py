"""The customer's order: entered, shown with every mismatch, corrected or let through."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from config.access import MANAGER, role_required
from jobs.intake.pages import form_page, posted
from jobs.quoting import orders
from jobs.quoting.change_forms import OrderForm, ResolveForm
from jobs.quoting.contract import contract_of
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.models import PurchaseOrder
from jobs.quoting.views import EDIT, PLACE, get_job


def _order(number: str, order: int) -> PurchaseOrder:
    rows = PurchaseOrder.objects.select_related("job__agency", "quote")
    return get_object_or_404(rows, job__number=number, pk=order)


@role_required(MANAGER)
@require_http_methods(EDIT)
def order_new(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    contract = contract_of(job)
    initial = {"received_on": timezone.localdate(), "bill_to": job.agency.bill_to}
    form = OrderForm(posted(request), instance=PurchaseOrder(job=job), initial=initial)
    if form.is_valid():
        order_number = form.cleaned_data["number"]
        try:
            order = orders.enter_order(
                job=job, number=order_number, by=request.user, **form.facts()
            )
        except QuoteError as error:
            form.add_error("number", str(error))
        else:
            _say(request, order)
            return redirect("jobs:order_detail", number, order.pk)
    context = {"job": job, "contract": contract}
    return form_page(request, PLACE("order_new"), form, context)


def _say(request: HttpRequest, order: PurchaseOrder) -> None:
    if order.held:
        messages.warning(request, f"Order {order.number} is held: it does not fit the quote.")
    else:
        messages.success(request, f"Order {order.number} fits the quote.")


@role_required(MANAGER)
@require_safe
def order_detail(request: HttpRequest, number: str, order: int) -> HttpResponse:
    row = _order(number, order)
    context = {"job": row.job, "order": row, "contract": contract_of(row.job)}
    return render(request, PLACE("order_detail"), context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def order_edit(request: HttpRequest, number: str, order: int) -> HttpResponse:
    row = _order(number, order)
    form = OrderForm(posted(request), instance=row)
    context = {"job": row.job, "order": row}
    if form.is_valid():
        version = form.cleaned_data["version"]
        try:
            orders.correct_order(order=row, version=version, by=request.user, **form.facts())
        except StaleError as error:
            fresh, differences = form.after_conflict(_order(number, order))
            context |= {"form": fresh, "differences": differences, "problem": str(error)}
            return render(request, PLACE("order_edit"), context, status=409)
        _say(request, row)
        return redirect("jobs:order_detail", number, row.pk)
    return form_page(request, PLACE("order_edit"), form, context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def order_resolve(request: HttpRequest, number: str, order: int) -> HttpResponse:
    row = _order(number, order)
    form = ResolveForm(posted(request), initial={"version": row.version})
    context = {"job": row.job, "order": row}
    if form.is_valid():
        try:
            orders.resolve_order(order=row, by=request.user, **form.cleaned_data)
        except StaleError as error:
            data = form.data.copy()
            data["version"] = str(_order(number, order).version)
            context |= {"form": ResolveForm(data), "problem": str(error)}
            context["order"] = _order(number, order)
            return render(request, PLACE("order_resolve"), context, status=409)
        messages.success(request, f"Order {row.number} goes ahead.")
        return redirect("jobs:order_detail", number, row.pk)
    return form_page(request, PLACE("order_resolve"), form, context)
