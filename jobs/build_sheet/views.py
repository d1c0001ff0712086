"""Build sheet pages: the lines, and one page to add, change or remove any of its rows."""

from collections import defaultdict
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalog.models import Part
from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet import actions, forms
from jobs.build_sheet.models import (
    BuildLine,
    Circuit,
    Feed,
    Node,
    OperatingMode,
    Payload,
    Section,
    Supply,
    Zone,
)
from jobs.build_sheet.quoting import quote_from_sheet
from jobs.intake.models import Job

GROUPINGS = (("section", "Section"), ("zone", "Zone"), ("stage", "Stage"))


def job_or_404(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("agency"), number=number)


def page(
    request: HttpRequest, job: Job, template: str, *, status: int = 200, **context: Any
) -> HttpResponse:
    """A page of the build sheet, told which job it is about and whether this person may edit."""
    may_edit = has_role(request.user, DESIGNER, MANAGER)
    context |= {"job": job, "may_edit": may_edit}
    return render(request, f"jobs/build_sheet/{template}.html", context, status=status)


@require_safe
@any_role
def build_sheet(request: HttpRequest, number: str) -> HttpResponse:
    """All lines, grouped by section, zone or stage; the grouping is in the address."""
    job = job_or_404(number)
    by = request.GET.get("by", "section")
    if by not in dict(GROUPINGS):
        by = "section"
    lines = job.lines.select_related("part__part")
    words = dict(Section.choices) | dict(Zone.choices)
    groups: dict[str, list[BuildLine]] = defaultdict(list)
    for line in lines:
        groups[getattr(line, by)].append(line)
    order = [value for value in (*Section.values, *Zone.values) if value in groups]
    keys = order if by != "stage" else sorted(groups, key=_stage_order)
    context = {
        "by": by,
        "groupings": GROUPINGS,
        "groups": [(words.get(key, key) or "No stage yet", groups[key]) for key in keys],
        "count": len(lines),
        "minutes": sum(line.quantity * line.part.labour_minutes for line in lines),
        "mass_g": sum(line.quantity * (line.part.mass_g or 0) for line in lines),
        "without_weight": [line.ref for line in lines if line.part.mass_g is None],
    }
    return page(request, job, "build_sheet", **context)


def _stage_order(code: str) -> tuple[int, str]:
    digits = code[1:]
    return (int(digits) if digits.isdigit() else 99, code)


KINDS: dict[str, tuple[Any, Any, str, str]] = {
    "line": (BuildLine, forms.LineForm, "build line", "jobs:build_sheet"),
    "circuit": (Circuit, forms.CircuitForm, "circuit", "jobs:circuit_list"),
    "feed": (Feed, forms.FeedForm, "feed", "jobs:circuit_list"),
    "supply": (Supply, forms.SupplyForm, "supply", "jobs:circuit_list"),
    "node": (Node, forms.NodeForm, "node", "jobs:circuit_list"),
    "mode": (OperatingMode, forms.ModeForm, "operating mode", "jobs:mode_list"),
    "payload": (Payload, forms.PayloadForm, "crew or gear", "jobs:weight_sheet"),
}


@role_required(DESIGNER, MANAGER)
def row_add(request: HttpRequest, number: str, kind: str) -> HttpResponse:
    return _edit(request, number, kind, None)


@role_required(DESIGNER, MANAGER)
def row_edit(request: HttpRequest, number: str, kind: str, row_id: int) -> HttpResponse:
    return _edit(request, number, kind, row_id)


def _edit(request: HttpRequest, number: str, kind: str, row_id: int | None) -> HttpResponse:
    """Add or change one row of the build sheet; a circuit brings its loads along."""
    job = job_or_404(number)
    if kind not in KINDS:
        raise Http404
    model, form_class, noun, back = KINDS[kind]
    row = None if row_id is None else get_object_or_404(model, pk=row_id, job=job)
    form = form_class(request.POST or None, instance=row, job=job)
    loads = None
    if kind == "circuit":
        loads = forms.LoadFormSet(
            request.POST or None, instance=row or Circuit(job=job), form_kwargs={"job": job}
        )
    if request.method == "POST" and form.is_valid() and (loads is None or loads.is_valid()):
        try:
            _save(request, form, loads)
        except actions.BuildSheetError as error:
            form.add_error(None, str(error))
            return _row_page(request, job, kind, noun, back, form, loads, status=409)
        messages.success(request, f"{noun.capitalize()} {form.instance} is saved.")
        return redirect(back, number)
    bad = bool(form.errors) or (loads is not None and request.method == "POST")
    return _row_page(request, job, kind, noun, back, form, loads, status=422 if bad else 200)


@transaction.atomic
def _save(request: HttpRequest, form: Any, loads: Any) -> None:
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdigit() else None
    row = actions.save_row(form=form, by=request.user, seen_version=version)
    if loads is not None:
        loads.instance = row
        loads.save()


def _row_page(
    request: HttpRequest,
    job: Job,
    kind: str,
    noun: str,
    back: str,
    form: Any,
    loads: Any,
    *,
    status: int,
) -> HttpResponse:
    row = form.instance
    version = request.POST.get("version") or getattr(row, "version", None)
    if status == 409:
        version = type(row).objects.values_list("version", flat=True).get(pk=row.pk)
    context = {
        "kind": kind,
        "noun": noun,
        "back": back,
        "form": form,
        "loads": loads,
        "row": row if row.pk else None,
        "version": version,
        "parts": Part.objects.filter(retired=False).select_related("current")
        if kind == "line"
        else (),
    }
    return page(request, job, "row_edit", status=status, **context)


@require_POST
@role_required(DESIGNER, MANAGER)
def row_remove(request: HttpRequest, number: str, kind: str, row_id: int) -> HttpResponse:
    job = job_or_404(number)
    if kind not in KINDS:
        raise Http404
    model, _, noun, back = KINDS[kind]
    row = get_object_or_404(model, pk=row_id, job=job)
    name = str(row)
    try:
        actions.remove_row(row=row, by=request.user)
        messages.success(request, f"{noun.capitalize()} {name} is removed.")
    except actions.BuildSheetError as error:
        messages.error(request, str(error))
    return redirect(back, number)


@require_POST
@role_required(MANAGER)
def quote_draft(request: HttpRequest, number: str) -> HttpResponse:
    """Price the sheet as it stands: refresh the draft, or start the next revision."""
    job = job_or_404(number)
    if not job.lines.exists():
        messages.error(request, "The build sheet has no line yet, so there is nothing to price.")
        return redirect("jobs:quote_list", number)
    quote = quote_from_sheet(job=job, by=request.user)
    messages.success(request, f"{quote} holds the build sheet as it stands.")
    return redirect("jobs:quote_detail", number, quote.revision)
