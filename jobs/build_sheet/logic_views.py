"""Control logic pages: the versions of a job, one version with its proofs, a new version."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from config.access import DESIGNER, any_role, role_required
from jobs.build_sheet.design_forms import LogicForm
from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.logic import LogicError, keep_logic, proofs_in_order, rule_sentences
from jobs.build_sheet.models import ControlLogic, LogicWork
from jobs.build_sheet.views import job_or_404, page
from jobs.intake.models import Job


@require_safe
@any_role
def logic_list(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    return _version(request, job, job.logic_versions.last())


@require_safe
@any_role
def logic_detail(request: HttpRequest, number: str, version: str) -> HttpResponse:
    job = job_or_404(number)
    return _version(request, job, get_object_or_404(ControlLogic, job=job, version=version))


def _version(request: HttpRequest, job: Job, kept: ControlLogic | None) -> HttpResponse:
    """What is proved so far; the page says when the worker goes on with the rest."""
    context: dict[str, Any] = {"versions": job.logic_versions.order_by("-id"), "newest": kept}
    if kept is not None:
        gate = gate_of(kept, LogicWork.Kind.PROOFS)
        context |= {
            "kept": kept,
            "gate": gate,
            "proofs": proofs_in_order(gate.proofs),
            "rules": rule_sentences(kept),
        }
    return page(request, job, "logic_list", **context)


@role_required(DESIGNER)
@require_http_methods(["GET", "POST"])
def logic_add(request: HttpRequest, number: str) -> HttpResponse:
    """Keep a new version from a JSON file; its faults are named with their place."""
    job = job_or_404(number)
    form = LogicForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        try:
            kept = keep_logic(
                job=job,
                version=form.cleaned_data["version"],
                data=form.cleaned_data["file"],
                note=form.cleaned_data["note"],
                by=request.user,
            )
            return redirect("jobs:logic_detail", number, kept.version)
        except LogicError as error:
            form.add_error("file", str(error))
    return page(request, job, "logic_add", form=form, status=422 if form.errors else 200)
