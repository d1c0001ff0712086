"""What would make a failing circuit pass, applied with one button and undone with one."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, role_required
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.models import AppliedChange, Circuit
from jobs.build_sheet.sizing import apply_suggestion, suggestions_of, undo_suggestion
from jobs.build_sheet.views import job_or_404, page


@require_safe
@any_role
def circuit_sizing(request: HttpRequest, number: str, row_id: int) -> HttpResponse:
    """The smallest changes that pass, with copper, price and what else they alter."""
    job = job_or_404(number)
    circuit = get_object_or_404(Circuit, job=job, pk=row_id)
    priced = suggestions_of(job, circuit.ref)
    return page(request, job, "circuit_sizing", circuit=circuit, priced=priced)


@require_POST
@role_required(DESIGNER, MANAGER)
def sizing_apply(request: HttpRequest, number: str, row_id: int) -> HttpResponse:
    job = job_or_404(number)
    circuit = get_object_or_404(Circuit, job=job, pk=row_id)
    kind, sentence = request.POST.get("kind", ""), request.POST.get("sentence", "")
    try:
        apply_suggestion(job=job, ref=circuit.ref, kind=kind, sentence=sentence, by=request.user)
        messages.success(request, f"Circuit {circuit.ref}: {sentence} Undo it below if need be.")
    except BuildSheetError as error:
        messages.error(request, str(error))
        return redirect("jobs:circuit_sizing", number, row_id)
    return redirect("jobs:circuit_list", number)


@require_POST
@role_required(DESIGNER, MANAGER)
def sizing_undo(request: HttpRequest, number: str, change_id: int) -> HttpResponse:
    applied = get_object_or_404(AppliedChange, job__number=number, pk=change_id)
    try:
        undo_suggestion(applied=applied, by=request.user)
        messages.success(request, f"Undone on circuit {applied.circuit_ref}: {applied.sentence}")
    except BuildSheetError as error:
        messages.error(request, str(error))
    return redirect("jobs:circuit_list", number)
