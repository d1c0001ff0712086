"""Weight and axle loads; places and weights changed in place, with what that does to the axles."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from config.access import DESIGNER, MANAGER, any_role, role_required
from jobs.build_sheet import balances
from jobs.build_sheet.actions import BuildSheetError, save_row
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.models import AcceptedFinding
from jobs.build_sheet.review import Judged
from jobs.build_sheet.views import job_or_404, page
from jobs.build_sheet.weight_forms import CELL_FORMS
from jobs.build_sheet.weights import weight_findings
from jobs.electrical.changes import Change
from jobs.intake.models import Job


@require_safe
@any_role
def weight_sheet(request: HttpRequest, number: str) -> HttpResponse:
    """Axle loads by moments: as received, with the build, with crew and gear."""
    job = job_or_404(number)
    lines = job.lines.select_related("part")
    context = {"payload": job.payload.all(), "lines": lines, **_result(job)}
    return page(request, job, "weight_sheet", **context)


def _result(job: Job) -> dict[str, Any]:
    """The axles, their picture, and every finding about weight."""
    unit = job.units.order_by("id").first()
    accepted = {(a.rule, a.subject): a for a in AcceptedFinding.objects.filter(job=job)}
    axles = balances.axle_rows(job, unit)
    return {
        "axles": axles,
        "picture": balances.axle_picture(axles),
        "judged": [
            Judged(finding=each, accepted=accepted.get((each.rule, each.subject)))
            for each in weight_findings(job, unit)
        ],
        "unit": unit,
    }


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def weight_row(request: HttpRequest, number: str, kind: str, row_id: int) -> HttpResponse:
    """GET: a row for reading, or with ?edit its cells as fields. POST: save, or preview."""
    job = job_or_404(number)
    if kind not in CELL_FORMS:
        raise Http404
    make = CELL_FORMS[kind]
    row = get_object_or_404(make.Meta.model, pk=row_id, job=job)
    if not request.htmx and request.method != "POST":  # type: ignore[attr-defined]
        return redirect("jobs:row_edit", number, kind, row_id)
    if request.method != "POST" and "edit" not in request.GET:
        return page(request, job, "_weight_row", row=row, kind=kind)
    form = make(request.POST or None, instance=row, job=job, where=request.path)
    if request.method != "POST":
        return _fields(request, job, kind, form)
    if not form.is_valid():
        return _fields(request, job, kind, form, status=422)
    if "preview" in request.POST:
        changes = effect_of(job, form.save)
        return _fields(request, job, kind, form, changes=changes, previewed=True)
    return _save(request, job, kind, form)


def _fields(
    request: HttpRequest,
    job: Job,
    kind: str,
    form: Any,
    *,
    status: int = 200,
    changes: list[Change] | None = None,
    previewed: bool = False,
) -> HttpResponse:
    if not request.htmx:  # type: ignore[attr-defined]
        for field, errors in form.errors.items():
            messages.error(request, f"{form[field].label}: {' '.join(map(str, errors))}")
        return redirect("jobs:row_edit", job.number, kind, form.instance.pk)
    version = request.POST.get("version") or getattr(form.instance, "version", "")
    context = {"form": form, "row": form.instance, "kind": kind, "version": version}
    template = "_weight_effect" if previewed else "_weight_cells"
    return page(request, job, template, status=status, changes=changes, **context)


def _save(request: HttpRequest, job: Job, kind: str, form: Any) -> HttpResponse:
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None
    try:
        save_row(form=form, by=request.user, seen_version=version)
    except BuildSheetError as error:
        form.add_error(None, str(error))
        return _fields(request, job, kind, form, status=422)
    if not request.htmx:  # type: ignore[attr-defined]
        messages.success(request, f"{form.instance} is saved.")
        return redirect("jobs:weight_sheet", job.number)
    context = {"row": form.instance, "kind": kind, "saved": True, **_result(job)}
    return page(request, job, "_weight_saved", **context)
