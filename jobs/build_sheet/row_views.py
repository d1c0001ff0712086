"""One page to add, change or remove any row of a build sheet, with its effect shown first."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST

from catalog.models import Part
from config.access import DESIGNER, MANAGER, role_required
from jobs.build_sheet import actions
from jobs.build_sheet.circuit_forms import LoadFormSet
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.kinds import KINDS, Kind
from jobs.build_sheet.models import Circuit
from jobs.build_sheet.views import job_or_404, page
from jobs.intake.models import Job


@dataclass(frozen=True, kw_only=True, slots=True)
class Typed:
    """The form of one row as posted; a circuit brings its loads along."""

    form: Any
    loads: Any

    @property
    def good(self) -> bool:
        return bool(self.form.is_valid() and (self.loads is None or self.loads.is_valid()))


def typed(request: HttpRequest, job: Job, kind: Kind, row_id: int | None) -> Typed:
    row = None if row_id is None else get_object_or_404(kind.model, pk=row_id, job=job)
    data = request.POST or None
    loads = None
    if kind.model is Circuit:
        loads = LoadFormSet(data, instance=row or Circuit(job=job), form_kwargs={"job": job})
    return Typed(form=kind.form(data, instance=row, job=job), loads=loads)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def row_add(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    return _edit(request, number, kind, None)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def row_edit(request: HttpRequest, number: str, kind: str, row_id: int) -> HttpResponse:
    return _edit(request, number, kind, row_id)


def kind_or_404(name: str) -> Kind:
    if name not in KINDS:
        raise Http404
    return KINDS[name]


def _edit(request: HttpRequest, number: str, name: str, row_id: int | None) -> HttpResponse:
    """Add or change one row. Asked for a preview, say what would change and keep nothing."""
    job, kind = job_or_404(number), kind_or_404(name)
    now = typed(request, job, kind, row_id)
    if request.method != "POST":
        return _row_page(request, job, name, now)
    if not now.good:
        return _row_page(request, job, name, now, status=422)
    try:
        if "preview" in request.POST:
            changes = effect_of(job, _saving(request, now))
            # Saving filled the first forms with rows that are gone again.
            again = typed(request, job, kind, row_id)
            return _row_page(request, job, name, again, changes=changes, previewed=True)
        with transaction.atomic():
            _saving(request, now)()
    except actions.BuildSheetError as error:
        now.form.add_error(None, str(error))
        return _row_page(request, job, name, now, status=409)
    messages.success(
        request, f"{kind.noun[0].upper()}{kind.noun[1:]} {now.form.instance} is saved."
    )
    return redirect(kind.back, number)


def _saving(request: HttpRequest, now: Typed) -> Callable[[], None]:
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None

    def save() -> None:
        row = actions.save_row(form=now.form, by=request.user, seen_version=version)
        if now.loads is not None:
            now.loads.instance = row
            now.loads.save()

    return save


def _row_page(
    request: HttpRequest, job: Job, name: str, now: Typed, *, status: int = 200, **more: Any
) -> HttpResponse:
    kind, row = KINDS[name], now.form.instance
    version = request.POST.get("version") or getattr(row, "version", None)
    if status == 409:
        version = type(row).objects.values_list("version", flat=True).get(pk=row.pk)
    parts = Part.objects.filter(retired=False).select_related("current")
    context = {
        "kind": name,
        "noun": kind.noun,
        "back": kind.back,
        "tab": kind.tab,
        "form": now.form,
        "loads": now.loads,
        "row": row if row.pk else None,
        "version": version,
        "parts": parts if name == "line" else (),
        **more,
    }
    return page(request, job, "row_edit", status=status, **context)


@require_POST
@role_required(DESIGNER, MANAGER)
def row_remove(request: HttpRequest, number: str, kind: str, row_id: int) -> HttpResponse:
    job, found = job_or_404(number), kind_or_404(kind)
    row = get_object_or_404(found.model, pk=row_id, job=job)
    name = str(row)
    try:
        actions.remove_row(row=row, by=request.user)
        messages.success(request, f"{found.title} {name} is removed.")
    except actions.BuildSheetError as error:
        messages.error(request, str(error))
    return redirect(found.back, number)
