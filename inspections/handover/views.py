"""Handover pages of the shop: packet, receipt, training, link."""

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import INSPECTOR, MANAGER, any_role, role_required
from inspections.handover import actions
from inspections.handover.forms import ItemForm, ReceiptForm, SendForm, TrainingForm
from inspections.handover.freezing import packet_response
from inspections.handover.models import Packet, PunchItem
from jobs.documents.responses import document_status
from jobs.intake.fields import address_in
from jobs.intake.links import PACKET, LinkGoneError, make_link, revoke_link
from jobs.models import CustomerLink, Unit
from jobs.notices.actions import Kind as NoticeKind
from jobs.notices.actions import notify


def _unit(number: str, unit: str) -> Unit:
    query = Unit.objects.select_related("job__agency", "release", "receipt")
    return get_object_or_404(query, job__number=number, number=unit)


def _packet(number: str, unit: str, revision: int) -> Packet:
    query = Packet.objects.select_related("document", "unit__job")
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, revision=revision)


def _page(request: HttpRequest, unit: Unit, *, status: int = 200, **forms: Any) -> HttpResponse:
    packets = unit.packets.select_related("document")
    newest = packets.first()
    args = [unit.job.number, unit.number]
    context = {
        "unit": unit,
        "job": unit.job,
        "packets": packets,
        "packet": newest,
        "document": newest.document if newest else None,
        "status_url": newest
        and reverse("inspections:packet_status", args=[*args, newest.revision]),
        "download_url": newest
        and reverse("inspections:packet_file", args=[*args, newest.revision]),
        "release": getattr(unit, "release", None),
        "receipt": getattr(unit, "receipt", None),
        "trainings": unit.trainings.all(),
        "acceptances": unit.acceptances.select_related("packet"),
        "items": unit.punch_items.all(),
        "links": unit.job.links.filter(purpose=PACKET, subject_id=unit.pk),
        "receipt_form": ReceiptForm(initial={"keys": unit.keys}),
        "training_form": TrainingForm(),
        "send_form": SendForm(),
        **forms,
    }
    return render(request, "inspections/handover/packet_detail.html", context, status=status)


@require_safe
@any_role
def packet_detail(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    return _page(request, _unit(number, unit))


@require_POST
@role_required(MANAGER, INSPECTOR)
def packet_build(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    packet = actions.build_packet(unit=_unit(number, unit), by=request.user)
    messages.success(request, f"Packet revision {packet.revision} is asked for.")
    return redirect("inspections:packet_detail", number, unit)


@require_http_methods(["GET", "HEAD", "POST"])
@any_role
def packet_status(request: HttpRequest, number: str, unit: str, revision: int) -> HttpResponse:
    packet = _packet(number, unit, revision)
    return document_status(
        request,
        packet.document,
        download_url=reverse("inspections:packet_file", args=[number, unit, revision]),
        back_url=reverse("inspections:packet_detail", args=[number, unit]),
    )


@require_safe
@any_role
def packet_file(request: HttpRequest, number: str, unit: str, revision: int) -> HttpResponse:
    return packet_response(_packet(number, unit, revision))


@require_POST
@role_required(MANAGER)
def packet_send(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """Make the link that the customer opens without an account. The secret is shown once."""
    found = _unit(number, unit)
    form = SendForm(request.POST)
    if not form.is_valid():
        return _page(request, found, send_form=form, status=422)
    _, token = make_link(
        job=found.job,
        purpose=PACKET,
        subject_id=found.pk,
        sent_to=form.cleaned_data["sent_to"],
        by=request.user,
    )
    url = settings.PUBLIC_URL + reverse("inspections:packet_open", args=[token])
    notice = notify(
        kind=NoticeKind.PACKET, to=[address_in(form.cleaned_data["sent_to"])], job=number,
        link=url, by=request.user, unit=found.number, title=found.job.title,
    )  # fmt: skip
    return _page(request, found, new_link=url, notice=notice)


@require_POST
@role_required(MANAGER)
def packet_link_revoke(request: HttpRequest, number: str, unit: str, link_id: int) -> HttpResponse:
    found = _unit(number, unit)
    link = get_object_or_404(
        CustomerLink, pk=link_id, job=found.job, purpose=PACKET, subject_id=found.pk
    )
    try:
        revoke_link(link=link, by=request.user)
    except LinkGoneError as error:  # the second of two clicks
        messages.info(request, str(error))
    return redirect("inspections:packet_detail", number, unit)


@require_POST
@role_required(MANAGER)
def receipt_record(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = _unit(number, unit)
    form = ReceiptForm(request.POST)
    if form.is_valid():
        try:
            actions.record_receipt(unit=found, by=request.user, **form.cleaned_data)
            return redirect("inspections:packet_detail", number, unit)
        except actions.HandoverError as error:
            form.add_error(None, str(error))
    return _page(request, found, receipt_form=form, status=422)


@require_POST
@role_required(MANAGER)
def training_record(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = _unit(number, unit)
    form = TrainingForm(request.POST)
    if form.is_valid():
        actions.record_training(unit=found, by=request.user, **form.cleaned_data)
        return redirect("inspections:packet_detail", number, unit)
    return _page(request, found, training_form=form, status=422)


def _item(request: HttpRequest, unit: Unit, item: PunchItem | None) -> HttpResponse:
    form = ItemForm(request.POST or None, instance=item)
    if request.method == "POST" and form.is_valid():
        try:
            actions.write_item(unit=unit, item=item, by=request.user, **form.cleaned_data)
            return redirect("inspections:packet_detail", unit.job.number, unit.number)
        except actions.HandoverError as error:
            form.add_error(None, str(error))
    context = {"unit": unit, "job": unit.job, "item": item, "form": form}
    status = 422 if request.method == "POST" else 200
    return render(request, "inspections/handover/item_edit.html", context, status=status)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(MANAGER)
def item_new(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    return _item(request, _unit(number, unit), None)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(MANAGER)
def item_edit(request: HttpRequest, number: str, unit: str, item_id: int) -> HttpResponse:
    found = _unit(number, unit)
    return _item(request, found, get_object_or_404(PunchItem, pk=item_id, unit=found))


@require_POST
@role_required(MANAGER)
def item_close(request: HttpRequest, number: str, unit: str, item_id: int) -> HttpResponse:
    found = _unit(number, unit)
    item = get_object_or_404(PunchItem, pk=item_id, unit=found)
    actions.close_item(item=item, by=request.user)
    return redirect("inspections:packet_detail", number, unit)
