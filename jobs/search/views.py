"""One search over jobs, vehicles, parts, serial numbers, orders and agencies."""

from dataclasses import dataclass

from django import forms
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalog.models import Part
from config.access import MANAGER, any_role, has_role
from jobs.build_sheet.models import Serial
from jobs.intake.filters import search_field
from jobs.intake.models import Agency, FurnishedItem, Job, Unit
from jobs.quoting.models import PurchaseOrder

MOST = 20


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    name: str
    words: str
    url: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    title: str
    rows: list[Found]
    more: bool


class SearchForm(forms.Form):
    q = search_field("Job, unit, VIN, part, serial number or agency")


@any_role
@require_safe
def search(request: HttpRequest) -> HttpResponse:
    form = SearchForm(request.GET)
    text = form.cleaned_data["q"] if form.is_valid() else ""
    groups = _groups(text, money=has_role(request.user, MANAGER)) if len(text) > 1 else []
    context = {"form": form, "text": text, "groups": [one for one in groups if one.rows]}
    status = 200 if form.is_valid() else 422
    return render(request, "jobs/search/search.html", context, status=status)


def _group(title: str, rows: list[Found]) -> Group:
    return Group(title=title, rows=rows[:MOST], more=len(rows) > MOST)


def _groups(text: str, *, money: bool) -> list[Group]:
    """Each kind asks once, for one more than is shown."""
    found = [
        _group("Jobs", _jobs(text)),
        _group("Units and VINs", _units(text)),
        _group("Serial numbers", [*_serials(text), *_furnished(text)]),
        _group("Parts", _parts(text)),
        _group("Agencies", _agencies(text)),
    ]
    return [*found, _group("Orders of agencies", _orders(text))] if money else found


def _jobs(text: str) -> list[Found]:
    rows = Job.objects.filter(
        Q(number__icontains=text) | Q(title__icontains=text) | Q(vehicle__icontains=text)
    ).select_related("agency")
    return [
        Found(
            name=job.number,
            words=f"{job.title}, {job.agency.name}, {job.get_state_display().lower()}",
            url=reverse("jobs:job_detail", args=[job.number]),
        )
        for job in rows.order_by("-id")[: MOST + 1]
    ]


def _units(text: str) -> list[Found]:
    rows = Unit.objects.filter(Q(vin__icontains=text) | Q(number__icontains=text))
    return [
        Found(
            name=unit.number,
            words=f"{unit.vin or 'VIN not known'}, job {unit.job.number} {unit.job.title}",
            url=reverse("jobs:unit_detail", args=[unit.job.number, unit.number]),
        )
        for unit in rows.select_related("job").order_by("-id")[: MOST + 1]
    ]


def _serials(text: str) -> list[Found]:
    rows = Serial.objects.filter(serial__icontains=text)
    return [
        Found(
            name=row.serial,
            words=f"{row.line.part.part.code} {row.line.part.description}, on {row.unit}",
            url=reverse("jobs:unit_detail", args=[row.unit.job.number, row.unit.number]),
        )
        for row in rows.select_related("line__part__part", "unit__job").order_by("-id")[: MOST + 1]
    ]


def _furnished(text: str) -> list[Found]:
    rows = FurnishedItem.objects.filter(serial__icontains=text)
    return [
        Found(
            name=row.serial,
            words=f"{row.description} of the agency, job {row.job.number}",
            url=reverse("jobs:furnished_list", args=[row.job.number]),
        )
        for row in rows.select_related("job").order_by("-id")[: MOST + 1]
    ]


def _parts(text: str) -> list[Found]:
    rows = Part.objects.filter(Q(code__icontains=text) | Q(current__description__icontains=text))
    return [
        Found(
            name=part.code,
            words=part.current.description if part.current else "",
            url=reverse("catalog:part_detail", args=[part.code]),
        )
        for part in rows.select_related("current").order_by("code")[: MOST + 1]
    ]


def _agencies(text: str) -> list[Found]:
    rows = Agency.objects.filter(Q(name__icontains=text) | Q(place__icontains=text))
    return [
        Found(name=row.name, words=row.place, url=reverse("jobs:agency_detail", args=[row.pk]))
        for row in rows.order_by("name")[: MOST + 1]
    ]


def _orders(text: str) -> list[Found]:
    rows = PurchaseOrder.objects.filter(number__icontains=text).select_related("job")
    return [
        Found(
            name=row.number,
            words=f"job {row.job.number}, {'held' if row.held else 'fits'}",
            url=reverse("jobs:order_detail", args=[row.job.number, row.pk]),
        )
        for row in rows.order_by("-id")[: MOST + 1]
    ]
