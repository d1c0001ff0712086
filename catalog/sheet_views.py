"""Pages about sheets of parts: template, export, and an import that is looked at first."""

from collections.abc import Iterable

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalog import actions
from catalog.columns import COLUMNS
from catalog.errors import CatalogError, StaleImport
from catalog.export import HEADINGS, export_rows, template_rows
from catalog.filters import PartFilter
from catalog.forms import ImportForm
from catalog.models import Part, PartImport
from catalog.plan import Plan, plan_of
from catalog.sheets import Cell, SheetError, csv_lines, xlsx_bytes
from config.access import DESIGNER, MANAGER, any_role, role_required

PER_PAGE = 100
MOST_PROBLEMS = 100
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _download(name: str, ending: str, rows: Iterable[list[Cell]]) -> HttpResponse:
    if ending == "csv":
        answer: HttpResponse = StreamingHttpResponse(
            csv_lines(HEADINGS, rows), content_type="text/csv; charset=utf-8"
        )
    elif ending == "xlsx":
        answer = HttpResponse(xlsx_bytes("Parts", HEADINGS, rows), content_type=XLSX)
    else:
        raise Http404(f"Sheets come as csv or xlsx, not as {ending[:20]}.")
    answer["Content-Disposition"] = f'attachment; filename="{name}.{ending}"'
    answer["Cache-Control"] = "no-store"
    return answer


@any_role
@require_safe
def part_template(request: HttpRequest, ending: str) -> HttpResponse:
    return _download("parts-template", ending, template_rows())


@role_required(MANAGER, DESIGNER)
@require_safe
def part_export(request: HttpRequest, ending: str) -> HttpResponse:
    """The parts of the list as it is filtered now; holds cost, so not for everybody."""
    parts = Part.objects.filter(current__isnull=False)
    asked = PartFilter(request.GET or {"search": ""}, parts)
    if not asked.is_valid():
        problems = [f"{asked.form[n].label}: {e[0]}" for n, e in asked.form.errors.items()]
        messages.error(request, " ".join(problems))
        return redirect("catalog:part_list")
    day = timezone.localdate().isoformat()
    return _download(f"parts-{day}", ending, export_rows(asked.qs))


@role_required(MANAGER, DESIGNER)
@require_http_methods(["GET", "HEAD", "POST"])
def part_import(request: HttpRequest) -> HttpResponse:
    """Upload a sheet: refused with reasons, or kept for its dry run."""
    form = ImportForm(*((request.POST, request.FILES) if request.method == "POST" else ()))
    plan: Plan | None = None
    if form.is_valid():
        file = form.cleaned_data["file"]
        content = file.read()
        try:
            plan = plan_of(name=file.name, content=content)
        except SheetError as error:
            form.add_error("file", str(error))
        else:
            if not plan.problems:
                kept = actions.keep_import(
                    name=file.name, content=content, plan=plan, by=request.user
                )
                return redirect("catalog:part_import_check", kept.pk)
    context = {
        "form": form,
        "plan": plan,
        "problems": plan.problems[:MOST_PROBLEMS] if plan else (),
        "columns": COLUMNS,
        "applied": PartImport.objects.filter(applied_at__isnull=False).defer("content")[:10],
    }
    status = 422 if form.is_bound else 200
    return render(request, "catalog/part_import.html", context, status=status)


def _check_page(request: HttpRequest, kept: PartImport, status: int = 200) -> HttpResponse:
    context = {"kept": kept, "plan": None}
    if not kept.applied_at:
        plan = actions.plan_of_import(kept)
        context |= {
            "plan": plan,
            "digest": plan.digest,
            "page": Paginator(plan.steps, PER_PAGE).get_page(request.GET.get("page")),
        }
    return render(request, "catalog/part_import_check.html", context, status=status)


@role_required(MANAGER, DESIGNER)
@require_safe
def part_import_check(request: HttpRequest, import_id: int) -> HttpResponse:
    """The dry run: what exactly this sheet would change, as the catalog stands now."""
    kept = get_object_or_404(PartImport, pk=import_id)
    try:
        return _check_page(request, kept)
    except (StaleImport, SheetError) as error:
        messages.error(request, str(error))
        return redirect("catalog:part_import")


@role_required(MANAGER, DESIGNER)
@require_POST
def part_import_apply(request: HttpRequest, import_id: int) -> HttpResponse:
    kept = get_object_or_404(PartImport, pk=import_id)
    try:
        plan = actions.apply_import(
            kept=kept, digest=request.POST.get("digest", ""), by=request.user
        )
    except (CatalogError, SheetError) as error:
        messages.error(request, str(error))
        return redirect("catalog:part_import_check", import_id)
    messages.success(
        request, f"{plan.new} new and {plan.changed} changed parts from {kept.file_name}."
    )
    return redirect("catalog:part_list")
