"""Control logic pages: the versions of a job, one version with its proofs, a new version."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from config.access import DESIGNER, any_role, role_required
from jobs.build_sheet.design_forms import LogicForm
from jobs.build_sheet.logic import LogicError, keep_logic, proofs_of, rule_sentences
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import job_or_404, page


@require_safe
@any_role
def logic_list(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    newest = job.logic_versions.last()
    context = {
        "versions": job.logic_versions.order_by("-id"),
        "newest": newest,
        "proofs": proofs_of(newest) if newest else [],
        "rules": rule_sentences(newest) if newest else [],
    }
    return page(request, job, "logic_list", **context)


@require_safe
@any_role
def logic_detail(request: HttpRequest, number: str, version: str) -> HttpResponse:
    job = job_or_404(number)
    kept = get_object_or_404(ControlLogic, job=job, version=version)
    context = {
        "versions": job.logic_versions.order_by("-id"),
        "newest": kept,
        "proofs": proofs_of(kept),
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
