"""The customer's own page, opened by a link: progress, photos, documents, training, acceptance.

The link names one unit. Nothing of another unit or job can be reached from it.
"""

from typing import Any

from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import public
from inspections.as_built.models import PlacePhoto
from inspections.handover import actions
from inspections.handover.forms import AcceptanceForm, SignForm
from inspections.handover.freezing import packet_response
from inspections.handover.models import Packet, Training
from inspections.handover.papers import papers_of
from inspections.handover.progress import progress
from jobs.documents.responses import download
from jobs.intake.links import PACKET, opened_by_link
from jobs.models import CustomerLink, Unit
from jobs.photos.files import LARGE, SMALL, preview_path
from jobs.photos.models import Photo
from jobs.quoting.contract import contract_of


def _unit(link: CustomerLink) -> Unit:
    query = Unit.objects.select_related("job__agency", "release", "receipt")
    return get_object_or_404(query, pk=link.subject_id, job=link.job_id)


def _photos(unit: Unit) -> Any:
    """What a manager chose to show, nothing else."""
    shown = PlacePhoto.objects.filter(place__unit=unit, for_customer=True)
    return shown.filter(photo__preview=Photo.Preview.READY).select_related("photo")


def _page(
    request: HttpRequest, link: CustomerLink, *, status: int = 200, **forms: Any
) -> HttpResponse:
    unit = _unit(link)
    packet = unit.packets.select_related("document").first()
    shown = packet.data_sha256 if packet else ""
    context = {
        "unit": unit,
        "job": unit.job,
        "packet": packet,
        "steps": progress(unit),
        "photos": _photos(unit),
        "contract": contract_of(unit.job),
        "papers": papers_of(unit.job),
        "trainings": unit.trainings.all(),
        "blockers": actions.acceptance_blockers(packet) if packet else ["No packet yet."],
        "acceptance": unit.acceptances.last(),
        "items": unit.punch_items.all(),
        "here": request.resolver_match.kwargs["token"] if request.resolver_match else "",
        "until": link.expires_at,
        "form": AcceptanceForm(initial={"packet_sha256": shown}),
        "sign_form": SignForm(),
        **forms,
    }
    return render(request, "inspections/handover/packet_open.html", context, status=status)


@public
@require_http_methods(["GET", "HEAD", "POST"])
@opened_by_link(PACKET)
def packet_open(request: HttpRequest, link: CustomerLink) -> HttpResponse:
    """GET changes nothing; POST is the customer's answer."""
    if request.method != "POST":
        return _page(request, link)
    form, status = AcceptanceForm(request.POST), 422
    packet = _unit(link).packets.select_related("document").first()
    if packet is not None and form.is_valid():
        ip = request.META.get("REMOTE_ADDR")
        try:
            actions.accept_unit(packet=packet, ip=ip, **form.cleaned_data)
            return redirect(request.path)
        except actions.HandoverError as error:
            form.add_error(None, str(error))
            status = 409
    return _page(request, link, form=form, status=status)


@public
@require_safe
@opened_by_link(PACKET)
def packet_open_file(request: HttpRequest, link: CustomerLink) -> HttpResponse:
    packets = Packet.objects.filter(unit=_unit(link), draft=False)
    packet = packets.select_related("document").first()
    if packet is None:
        raise Http404("There is no packet yet.")
    return packet_response(packet)


@public
@require_safe
@opened_by_link(PACKET)
def packet_paper(request: HttpRequest, link: CustomerLink, key: str) -> HttpResponse:
    """The PDF of a quote or change order as it was offered."""
    found = [one for one in papers_of(_unit(link).job) if one.key == key]
    if not found or found[0].document is None:
        raise Http404("There is no such paper.")
    return download(found[0].document)


@public
@require_safe
@opened_by_link(PACKET)
def packet_photo(
    request: HttpRequest, link: CustomerLink, photo_id: int, size: int
) -> HttpResponse:
    """A chosen photo of this unit, re-encoded; any other is not found."""
    item = get_object_or_404(_photos(_unit(link)), pk=photo_id)
    path = preview_path(item.photo.sha256, size)
    if size not in (SMALL, LARGE) or not path.is_file():
        raise Http404("There is no such photo.")
    response = FileResponse(path.open("rb"), content_type="image/jpeg")
    response["X-Content-Type-Options"] = "nosniff"
    response["Cross-Origin-Resource-Policy"] = "same-origin"
    return response


@public
@require_POST
@opened_by_link(PACKET)
def training_sign(request: HttpRequest, link: CustomerLink, training_id: int) -> HttpResponse:
    training = get_object_or_404(Training, pk=training_id, unit=_unit(link))
    form = SignForm(request.POST)
    if not form.is_valid():
        return _page(request, link, sign_form=form, signing=training.pk, status=422)
    try:
        actions.sign_training(training=training, name=form.cleaned_data["name"])
    except actions.HandoverError as error:
        form.add_error(None, str(error))
        return _page(request, link, sign_form=form, signing=training.pk, status=409)
    token = request.resolver_match.kwargs["token"] if request.resolver_match else ""
    return redirect("inspections:packet_open", token)
