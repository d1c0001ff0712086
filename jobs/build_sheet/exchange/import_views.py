"""A build file uploaded: refused with its places, or shown as a dry run and then applied."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, role_required
from jobs.build_sheet.actions import BuildSheetError
from jobs.build_sheet.exchange.read import LARGEST_BYTES, BuildFileError, Problem, read_build
from jobs.build_sheet.exchange.tables import TABLES
from jobs.build_sheet.exchange.uploads import apply_upload, build_in, keep_upload, try_build
from jobs.build_sheet.models import BuildImport
from jobs.build_sheet.views import job_or_404, page

MOST_SHOWN = 200


class BuildFileForm(forms.Form):
    file = forms.FileField(
        label="Build file",
        help_text="JSON or XLSX, at most 8 MB. Nothing is changed until you confirm the dry run.",
        error_messages={
            "required": "Choose a file.",
            "empty": "The file is empty (0 bytes).",
            "missing": "The file did not arrive. Choose it again.",
        },
        widget=forms.FileInput(attrs={"accept": ".json,.xlsx"}),
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > LARGEST_BYTES:
            size = f"{file.size / 1024 / 1024:.1f} MB"
            raise forms.ValidationError(f"{file.name} has {size}; at most 8 MB are read.")
        return file


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def build_import(request: HttpRequest, number: str) -> HttpResponse:
    """Upload a file: what is wrong with it, or on to its dry run."""
    job = job_or_404(number)
    form = BuildFileForm(*((request.POST, request.FILES) if request.method == "POST" else ()))
    problems: list[Problem] = []
    if form.is_valid():
        file = form.cleaned_data["file"]
        content = file.read()
        try:
            build = read_build(file.name, content)
        except BuildFileError as error:
            form.add_error("file", str(error))
        else:
            tried = try_build(job=job, build=build, source=file.name, by=request.user)
            problems = tried.report.problems
            if not problems:
                kept = keep_upload(job=job, name=file.name, content=content, by=request.user)
                return redirect("jobs:build_import_check", number, kept.pk)
    context = {
        "form": form,
        "count": len(problems),
        "problems": problems[:MOST_SHOWN],
        "tables": TABLES,
        "applied": job.build_imports.exclude(applied_at=None).defer("content")[:10],
    }
    return page(request, job, "build_import", status=422 if form.is_bound else 200, **context)


@require_safe
@role_required(DESIGNER, MANAGER)
def build_import_check(request: HttpRequest, number: str, import_id: int) -> HttpResponse:
    """The dry run: what the file would change on the build as it stands now."""
    job = job_or_404(number)
    kept = get_object_or_404(BuildImport, pk=import_id, job=job)
    tried = None
    if kept.applied_at is None:
        tried = try_build(job=job, build=build_in(kept), source=kept.file_name, by=request.user)
    shown = tried.report.rows[:MOST_SHOWN] if tried else []
    return page(request, job, "build_import_check", kept=kept, tried=tried, shown=shown)


@require_POST
@role_required(DESIGNER, MANAGER)
def build_import_apply(request: HttpRequest, number: str, import_id: int) -> HttpResponse:
    job = job_or_404(number)
    kept = get_object_or_404(BuildImport, pk=import_id, job=job)
    try:
        report = apply_upload(kept=kept, digest=request.POST.get("digest", ""), by=request.user)
    except BuildSheetError as error:
        messages.error(request, str(error))
        return redirect("jobs:build_import_check", number, import_id)
    messages.success(request, f"{kept.file_name} is applied. {report.words}")
    return redirect("jobs:circuit_list", number)
