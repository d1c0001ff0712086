"""Buying pages: what is needed over all jobs, orders, suppliers, the stock."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.db.models import Exists, OuterRef, Q, Subquery, Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalog.models import Part
from config.access import INSPECTOR, MANAGER, TECHNICIAN, has_role, role_required
from jobs.audit.record import record
from jobs.buying import actions
from jobs.buying.forms import CountForm, OrderForm, PartFilter, ReceiveForm, SendForm, SupplierForm
from jobs.buying.models import Purchase, PurchaseLine, StockMove, Supplier
from jobs.buying.needs import part_needs
from jobs.intake.guard import StaleError, update_guarded
from jobs.intake.pages import conflict_page, form_page, posted

PLACE = "jobs/buying/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
ROWS = 50
MOST_COUNTED = 60


def _text(form: PartFilter) -> str:
    return str(form.cleaned_data["q"]) if form.is_valid() else ""


@role_required(MANAGER, TECHNICIAN)
@require_safe
def buying_list(request: HttpRequest) -> HttpResponse:
    return _buying(request)


def _buying(request: HttpRequest, *, problem: str = "", status: int = 200) -> HttpResponse:
    form = PartFilter(request.GET)
    found = part_needs(_text(form))
    context = {
        "form": form,
        "page": Paginator(found, ROWS).get_page(request.GET.get("page")),
        "short": sum(1 for one in found if one.short),
        "order_form": OrderForm(),
        "problem": problem,
        "today": timezone.localdate(),
        "may_order": has_role(request.user, MANAGER),
        "suppliers": Supplier.objects.exists(),
    }
    return render(request, PLACE("buying_list"), context, status=status)


@role_required(MANAGER)
@require_POST
def buying_order(request: HttpRequest) -> HttpResponse:
    """Put the ticked parts, as many as are short, on draft orders of their suppliers."""
    form = OrderForm(request.POST)
    codes = set(request.POST.getlist("parts")[: ROWS * 2])
    wanted = {one.part: one.short for one in part_needs() if one.part.code in codes and one.short}
    if not wanted:
        return _buying(request, problem="Tick parts that are short.", status=422)
    chosen = form.cleaned_data["supplier"] if form.is_valid() else None
    known = {part: part.source.supplier for part in wanted if hasattr(part, "source")}
    suppliers = dict.fromkeys(wanted, chosen) if chosen else known
    try:
        made = actions.order_parts(wanted=wanted, suppliers=suppliers, by=request.user)
    except actions.BuyingError as error:
        return _buying(request, problem=str(error), status=422)
    messages.success(request, f"On {', '.join(map(str, made))}. Look at it and send it.")
    return redirect("jobs:purchase_list")


@role_required(MANAGER, TECHNICIAN)
@require_safe
def purchase_list(request: HttpRequest) -> HttpResponse:
    """Orders to suppliers, newest first; those still open unless all are asked for."""
    rows = Purchase.objects.select_related("supplier").annotate(pieces=Sum("lines__quantity"))
    everything = request.GET.get("state") == "all"
    if not everything:
        rows = rows.filter(state__in=(Purchase.State.DRAFT, Purchase.State.SENT))
    page = Paginator(rows.order_by("-id"), ROWS).get_page(request.GET.get("page"))
    context = {"page": page, "everything": everything, "today": timezone.localdate()}
    return render(request, PLACE("purchase_list"), context)


def _purchase(number: str) -> Purchase:
    return get_object_or_404(Purchase.objects.select_related("supplier"), number=number)


@role_required(MANAGER, TECHNICIAN)
@require_safe
def purchase_detail(request: HttpRequest, purchase: str) -> HttpResponse:
    return _purchase_page(request, _purchase(purchase))


def _purchase_page(
    request: HttpRequest, row: Purchase, *, problem: str = "", status: int = 200
) -> HttpResponse:
    lines = row.lines.select_related("part__current")
    money = has_role(request.user, MANAGER)
    context = {
        "purchase": row,
        "lines": lines,
        "total_cents": sum((line.unit_cents or 0) * line.quantity for line in lines) or None,
        "send_form": SendForm(initial={"version": row.version}),
        "problem": problem,
        "money": money,
    }
    return render(request, PLACE("purchase_detail"), context, status=status)


@role_required(MANAGER)
@require_POST
def purchase_send(request: HttpRequest, purchase: str) -> HttpResponse:
    row, form = _purchase(purchase), SendForm(request.POST)
    if not form.is_valid():
        words = " ".join(str(error) for errors in form.errors.values() for error in errors)
        return _purchase_page(request, row, problem=words, status=422)
    return _try(request, row, lambda: actions.send_purchase(
        purchase=row, by=request.user, **form.cleaned_data
    ), f"{row} is marked as sent.")  # fmt: skip


@role_required(MANAGER)
@require_POST
def purchase_cancel(request: HttpRequest, purchase: str) -> HttpResponse:
    row = _purchase(purchase)
    return _try(request, row, lambda: actions.cancel_purchase(purchase=row, by=request.user),
                f"{row} is cancelled.")  # fmt: skip


def _try(request: HttpRequest, row: Purchase, action: Any, done: str) -> HttpResponse:
    try:
        action()
    except actions.BuyingError as error:
        return _purchase_page(request, _purchase(row.number), problem=str(error), status=409)
    messages.success(request, done)
    return redirect("jobs:purchase_detail", row.number)


@role_required(MANAGER, TECHNICIAN, INSPECTOR)
@require_http_methods(EDIT)
def purchase_receive(request: HttpRequest, purchase: str, line: int) -> HttpResponse:
    rows = PurchaseLine.objects.select_related("purchase__supplier", "part__current")
    row = get_object_or_404(rows, pk=line, purchase__number=purchase)
    start = {"pieces": row.quantity - row.received, "seen": row.received}
    form = ReceiveForm(posted(request), initial=start)
    if form.is_valid():
        try:
            actions.receive(line=row, by=request.user, **form.cleaned_data)
        except actions.BuyingError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Received {form.cleaned_data['pieces']} × {row.part}.")
            return redirect("jobs:purchase_detail", purchase)
    return form_page(request, PLACE("purchase_receive"), form, {"line": row})


@role_required(MANAGER)
@require_safe
def supplier_list(request: HttpRequest) -> HttpResponse:
    page = Paginator(Supplier.objects.all(), ROWS).get_page(request.GET.get("page"))
    return render(request, PLACE("supplier_list"), {"page": page})


@role_required(MANAGER)
@require_http_methods(EDIT)
def supplier_new(request: HttpRequest) -> HttpResponse:
    form = SupplierForm(posted(request), instance=Supplier())
    if form.is_valid():
        with transaction.atomic():
            row = form.save()
            record(by=request.user, verb="added", subject=row, sentence=f"Added supplier {row}.")
        return redirect("jobs:supplier_list")
    return form_page(request, PLACE("supplier_edit"), form, {})


@role_required(MANAGER)
@require_http_methods(EDIT)
def supplier_edit(request: HttpRequest, supplier: int) -> HttpResponse:
    row = get_object_or_404(Supplier, pk=supplier)
    form = SupplierForm(posted(request), instance=row)
    if form.is_valid():
        try:
            with transaction.atomic():
                version = form.cleaned_data["version"]
                if update_guarded(row, version=version, values=form.values()):
                    words = f"Changed supplier {row}."
                    record(by=request.user, verb="changed", subject=row, sentence=words)
        except StaleError as error:
            return conflict_page(request, PLACE("supplier_edit"), form, error, {"row": row})
        return redirect("jobs:supplier_list")
    return form_page(request, PLACE("supplier_edit"), form, {"row": row})


@role_required(MANAGER, TECHNICIAN)
@require_safe
def stock_list(request: HttpRequest) -> HttpResponse:
    """Parts that ever moved, or the ones searched for, with what is there by the book."""
    form = PartFilter(request.GET)
    text = _text(form)
    # A join for the sum and another for the filter would multiply the moves.
    moves = StockMove.objects.filter(part=OuterRef("pk"))
    pieces = moves.order_by().values("part").annotate(sum=Sum("quantity")).values("sum")
    rows = Part.objects.select_related("current").annotate(pieces=Subquery(pieces))
    if text:
        rows = rows.filter(Q(code__icontains=text) | Q(current__description__icontains=text))
    else:
        rows = rows.filter(Exists(moves))
    page = Paginator(rows.order_by("code"), ROWS).get_page(request.GET.get("page"))
    return render(request, PLACE("stock_list"), {"form": form, "page": page, "text": text})


@role_required(MANAGER, TECHNICIAN)
@require_http_methods(EDIT)
def stock_count(request: HttpRequest, code: str) -> HttpResponse:
    part = get_object_or_404(Part.objects.select_related("current"), code=code)
    here = actions.in_stock(part)
    form = CountForm(posted(request), initial={"seen": here})
    if form.is_valid():
        try:
            gone = actions.count_stock(part=part, by=request.user, **form.cleaned_data)
        except actions.BuyingError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Counted {part}: {gone:+d} against the book.")
            return redirect("jobs:stock_list")
    moves = part.moves.select_related("by", "job", "unit", "purchase_line__purchase")
    newest = moves.order_by("-id")[:MOST_COUNTED]
    return form_page(
        request, PLACE("stock_count"), form, {"part": part, "here": here, "moves": newest}
    )
