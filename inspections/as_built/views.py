"""Places of a unit with their photos and pins, and where its parts and crimps came from."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from config.access import DESIGNER, INSPECTOR, MANAGER, TECHNICIAN, any_role, role_required
from inspections.as_built import actions
from inspections.as_built.forms import OriginForm, PhotoForm, PinsForm, PlaceForm
from inspections.as_built.models import Place, PlacePhoto
from jobs.models import Unit
from jobs.photos.actions import PhotoError, store_photos


def unit_or_404(number: str, unit: str) -> Unit:
    query = Unit.objects.select_related("job__agency", "release", "receipt")
    return get_object_or_404(query, job__number=number, number=unit)


def _page(request: HttpRequest, unit: Unit, *, status: int = 200, **forms: Any) -> HttpResponse:
    context = {
        "unit": unit,
        "job": unit.job,
        "places": unit.places.prefetch_related("photos__photo", "circuits", "pins__circuit"),
        "origins": unit.origins.select_related("line__part"),
        "place_form": PlaceForm(unit=unit),
        "origin_form": OriginForm(unit=unit),
        **forms,
    }
    return render(request, "inspections/as_built/place_list.html", context, status=status)


@require_safe
@any_role
def place_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    return _page(request, unit_or_404(number, unit))


@require_POST
@role_required(MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
def place_new(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    form = PlaceForm(request.POST, unit=found)
    if not form.is_valid():
        return _page(request, found, place_form=form, status=422)
    place = actions.add_place(unit=found, by=request.user, **form.cleaned_data)
    messages.success(request, f"Added {place}.")
    return redirect("inspections:place_detail", number, unit, place.ref)


def _place(number: str, unit: str, ref: str) -> Place:
    query = Place.objects.select_related("unit__job__agency")
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, ref=ref)


def _one(request: HttpRequest, place: Place, *, status: int = 200, **forms: Any) -> HttpResponse:
    pins = place.pins.select_related("circuit")
    table = "\n".join(
        f"{pin.number}; {pin.circuit.ref if pin.circuit else '-'}; {pin.function}; {pin.conductor}"
        for pin in pins
    )
    context = {
        "unit": place.unit,
        "job": place.unit.job,
        "place": place,
        "pins": pins,
        "photos": place.photos.select_related("photo"),
        "photo_form": PhotoForm(),
        "pins_form": PinsForm(unit=place.unit, initial={"table": table}),
        **forms,
    }
    return render(request, "inspections/as_built/place_detail.html", context, status=status)


@require_safe
@any_role
def place_detail(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    return _one(request, _place(number, unit, ref))


@require_POST
@role_required(MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
def place_photos(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    place = _place(number, unit, ref)
    form = PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        data = form.cleaned_data
        try:
            photos = store_photos(files=data.pop("photos"), by=request.user)
        except PhotoError as error:
            form.add_error("photos", str(error))
        else:
            actions.add_place_photos(place=place, photos=photos, by=request.user, **data)
            return redirect("inspections:place_detail", number, unit, ref)
    return _one(request, place, photo_form=form, status=422)


@require_POST
@role_required(MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
def place_pins(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    place = _place(number, unit, ref)
    form = PinsForm(request.POST, unit=place.unit)
    if not form.is_valid():
        return _one(request, place, pins_form=form, status=422)
    actions.add_pins(place=place, rows=form.cleaned_data["table"], by=request.user)
    return redirect("inspections:place_detail", number, unit, ref)


@require_POST
@role_required(MANAGER)
def place_photo_show(
    request: HttpRequest, number: str, unit: str, ref: str, photo_id: int
) -> HttpResponse:
    """Put a photo on the customer's page, or take it off."""
    photo = get_object_or_404(PlacePhoto, pk=photo_id, place=_place(number, unit, ref))
    shown = request.POST.get("shown") == "yes"
    actions.show_to_customer(photo=photo, shown=shown, by=request.user)
    return redirect("inspections:place_detail", number, unit, ref)


@require_POST
@role_required(MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
def origin_new(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = unit_or_404(number, unit)
    form = OriginForm(request.POST, unit=found)
    if not form.is_valid():
        return _page(request, found, origin_form=form, status=422)
    origin = actions.record_origin(unit=found, by=request.user, **form.cleaned_data)
    messages.success(request, f"Recorded {origin}.")
    return redirect("inspections:place_list", number, unit)
