"""The as-built page behind the label: find a circuit, follow it, see its place and its history."""

from collections.abc import Iterable
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from config.access import any_role, bay_page
from config.offline import kept_offline
from inspections.as_built.current import AsBuilt
from inspections.as_built.label import find_unit
from inspections.as_built.models import Place
from inspections.as_built.views import unit_or_404
from inspections.checklists.models import Check, ResultPhoto
from inspections.handover.quality_sections import measured_values
from inspections.handover.warranty import began_on, ends_on
from inspections.service.models import PartSwap
from inspections.service.search import MOST_TYPED, find
from jobs.build_sheet.tracing import Path, path_of, place_of
from jobs.electrical.trace import goes_dark
from jobs.models import BuildLine, Circuit, Unit


@require_safe
@any_role
@bay_page
@kept_offline
def as_built_scan(request: HttpRequest, code: str) -> HttpResponse:
    """What a scan opens. Before sign-in it says nothing, not even whether the code exists."""
    unit = find_unit(code)
    if unit is None:
        raise Http404("No vehicle of this shop has that code.")
    return _search(request, unit)


@require_safe
@any_role
@bay_page
@kept_offline
def as_built(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    return _search(request, unit_or_404(number, unit))


def _search(request: HttpRequest, unit: Unit) -> HttpResponse:
    typed = request.GET.get("q", "").strip()[:MOST_TYPED]
    built = AsBuilt(unit)
    context = {
        "unit": unit,
        "job": unit.job,
        "typed": typed,
        "hits": find(built, typed),
        "built": built,
        "warranty_from": began_on(unit),
        "action": reverse("inspections:as_built", args=[unit.job.number, unit.number]),
        "cases": unit.cases.select_related("circuit")[:5],
        "places": unit.places.prefetch_related("circuits"),
    }
    return render(request, "inspections/service/as_built.html", context)


@require_safe
@any_role
@bay_page
@kept_offline
def as_built_circuit(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """One circuit of this vehicle: where each point is, what a meter shows, what was done."""
    found = unit_or_404(number, unit)
    built = AsBuilt(found)
    circuit = built.circuit(ref)
    if circuit is None:
        raise Http404
    path = path_of(built.case, circuit)
    named = [one for one in path.conditions if one.key == request.GET.get("mode", "")]
    chosen = (named or [one for one in path.conditions if one.on])[0]
    lines = [load.line for load in circuit.loads.all()]
    context = {
        "unit": found,
        "job": found.job,
        "built": built,
        "circuit": circuit,
        "path": path,
        "chosen": chosen,
        "points": _points(path, chosen),
        "measured": _measured(found, circuit),
        "changes": [one for one in built.changes if one.about in {ref, *(x.ref for x in lines)}],
        "places": found.places.filter(circuits=circuit.pk).prefetch_related("photos__photo"),
        "photos": _photos(found, circuit),
        "parts": _parts(found, lines),
        "cases": found.cases.filter(circuit=circuit.pk).prefetch_related("swaps__line"),
        "dark": [] if built.case is None else _also_dark(built, circuit),
    }
    return render(request, "inspections/service/as_built_circuit.html", context)


def _points(path: Path, chosen: Any) -> list[dict[str, Any]]:
    column = path.conditions.index(chosen)
    return [{"point": point, "reading": point.readings[column]} for point in path.points]


def _measured(unit: Unit, circuit: Circuit) -> dict[str, str]:
    """Volts and amps as they were on release."""
    checks = unit.checks.filter(circuit=circuit.pk, retired=False).prefetch_related("results")
    return measured_values(list(checks)).get(circuit.ref, {})


def _photos(unit: Unit, circuit: Circuit) -> list[dict[str, Any]]:
    """Photos of the places of this circuit, then those of its checks."""
    places = Place.objects.filter(unit=unit, circuits=circuit.pk)
    shown = [
        {"photo": item.photo, "words": f"{place.ref} {item.caption}"}
        for place in places.prefetch_related("photos__photo")
        for item in place.photos.all()
    ]
    checks = Check.objects.filter(unit=unit, circuit=circuit.pk)
    proofs = ResultPhoto.objects.filter(result__check_item__in=checks)
    return shown + [
        {"photo": item.photo, "words": item.result.check_item.title}
        for item in proofs.select_related("photo", "result__check_item").order_by("pk")
    ]


def _parts(unit: Unit, lines: Iterable[BuildLine]) -> list[dict[str, Any]]:
    """Each part with its serial numbers, its warranty and what was swapped."""
    begin = began_on(unit)
    return [
        {
            "line": line,
            "place": place_of(line),
            "serials": ", ".join(unit.serials.filter(line=line).values_list("serial", flat=True)),
            "warranty": ends_on(line.part.warranty_months, begin),
            "manuals": line.part.part.manuals.filter(removed_at=None),
            "swaps": PartSwap.objects.filter(case__unit=unit, line=line).select_related("case"),
        }
        for line in lines
    ]


def _also_dark(built: AsBuilt, circuit: Circuit) -> list[Circuit]:
    """Other circuits on the same feed: dark together means look at the feed first."""
    case = built.case
    refs = set(goes_dark(case, f"feed {circuit.feed.ref}")) if case else set()
    return [one for one in built.circuits if one.ref in refs and one.ref != circuit.ref]
