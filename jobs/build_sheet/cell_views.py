"""A circuit of the schedule changed in place; without JavaScript its own page does the same."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.template.loader import render_to_string
from django.views.decorators.http import require_http_methods

from config.access import DESIGNER, MANAGER, role_required
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.circuit_forms import CellForm
from jobs.build_sheet.edits import Edited, Schedule, effect_on, save_cells, schedule_of
from jobs.build_sheet.models import Circuit
from jobs.build_sheet.review import review
from jobs.build_sheet.rows import circuit_in, job_by
from jobs.build_sheet.views import job_or_404, page


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def circuit_row(request: HttpRequest, number: str, row_id: int) -> HttpResponse:
    """GET: the row for reading, or with ?edit its cells as fields. POST: save, or preview."""
    job = job_by(number)
    if job is None:
        raise Http404
    if request.method != "POST" and "edit" not in request.GET:
        return _read(request, number, row_id)
    schedule = schedule_of(job)
    circuit = circuit_in(schedule.rows, row_id)
    if circuit is None:
        raise Http404
    form = CellForm(request.POST or None, instance=circuit, job=job, where=request.path)
    if request.method != "POST":
        return _fields(request, schedule, circuit, form)
    if "preview" in request.POST:
        context = {"changes": effect_on(schedule, form) if form.is_valid() else [], "form": form}
        status = 422 if form.errors else 200
        return page(request, job, "_cell_effect", status=status, **context)
    if not form.is_valid():
        return _fields(request, schedule, circuit, form, status=422)
    return _save(request, schedule, form)


def _read(request: HttpRequest, number: str, row_id: int) -> HttpResponse:
    if not request.htmx:  # type: ignore[attr-defined]
        return redirect("jobs:row_edit", number, "circuit", row_id)
    job = job_or_404(number)
    row = next((each for each in review(job).circuits if each.item.pk == row_id), None)
    if row is None:
        raise Http404
    return page(request, job, "_run_row", row=row, kind="circuit", item=row.item)


def _fields(
    request: HttpRequest, schedule: Schedule, circuit: Circuit, form: CellForm, status: int = 200
) -> HttpResponse:
    if not request.htmx:  # type: ignore[attr-defined]
        for field, errors in form.errors.items():
            about = f"{form[field].label}: " if field in form.fields else ""
            messages.error(request, about + " ".join(map(str, errors)))
        return redirect("jobs:row_edit", schedule.job.number, "circuit", circuit.pk)
    version = request.POST.get("version") or circuit.version
    context = {"form": form, "item": circuit, "version": version}
    return page(request, schedule.job, "_run_cells", status=status, **context)


def _save(request: HttpRequest, schedule: Schedule, form: CellForm) -> HttpResponse:
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdecimal() and len(seen) < 10 else None
    try:
        edited = save_cells(schedule=schedule, form=form, by=request.user, seen_version=version)
    except BuildSheetError as error:
        form.add_error(None, str(error))
        return _fields(request, schedule, form.instance, form, status=422)
    words = f"Circuit {form.instance.ref} is saved. {_words(edited)}"
    if not request.htmx:  # type: ignore[attr-defined]
        messages.success(request, words)
        return redirect("jobs:circuit_list", schedule.job.number)
    context = {"job": schedule.job, "may_edit": True, "edited": edited, "words": words}
    # Rendered without the request: rows need nothing of what a whole page shows around them.
    return HttpResponse(render_to_string("jobs/build_sheet/_cells_saved.html", context))


def _words(edited: Edited) -> str:
    """How many findings came and went."""
    counts = (
        (len(edited.appeared), "appeared"),
        (len(edited.changed), "changed"),
        (len(edited.vanished), "vanished"),
    )
    said = [f"{count} {word}" for count, word in counts if count]
    return f"Findings: {', '.join(said)}." if said else "No finding changed."
