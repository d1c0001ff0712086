"""The build sheet: its lines, grouped; and what the slice's other pages share."""

from collections import defaultdict
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet.models import (
    BuildLine,
    Section,
    UnitDifference,
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
        "minutes": sum(line.minutes for line in lines),
        "mass_g": sum(line.quantity * (line.part.mass_g or 0) for line in lines),
        "without_weight": [line.ref for line in lines if line.part.mass_g is None],
    }
    return page(request, job, "build_sheet", **context)


def _stage_order(code: str) -> tuple[int, str]:
    digits = code[1:]
    return (int(digits) if digits.isdecimal() else 99, code)


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
    if UnitDifference.objects.filter(unit__job=job, pieces__isnull=False).exists():
        messages.info(
            request,
            "Every line is priced for each unit, although some units get fewer pieces. "
            "Take the difference off with an option that has an agreed price.",
        )
    return redirect("jobs:quote_detail", number, quote.revision)
