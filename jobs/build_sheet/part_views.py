"""Which open jobs a part's newer revision would reach, and what it would change in each."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalog.models import Part
from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet.actions import take_revision
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.models import BuildLine
from jobs.electrical.changes import Change
from jobs.intake.models import Job

CLOSED = (Job.State.RELEASED, Job.State.DELIVERED, Job.State.CANCELLED)
# Each job is calculated twice; more than these are only named.
MOST_CALCULATED = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Reached:
    """One open job with lines of the part; `changes` is None where it was not calculated."""

    job: Job
    lines: list[BuildLine]
    old: list[BuildLine]
    changes: list[Change] | None


def reached_by(part: Part, user: object) -> list[Reached]:
    lines = (
        BuildLine.objects.filter(part__part=part)
        .exclude(job__state__in=CLOSED)
        .select_related("job__agency", "part")
        .order_by("job_id", "ref")
    )
    by_job: dict[int, list[BuildLine]] = {}
    for line in lines:
        by_job.setdefault(line.job_id, []).append(line)
    found = []
    for count, mine in enumerate(by_job.values()):
        job, old = mine[0].job, [line for line in mine if line.part_id != part.current_id]
        changes = None
        if old and count < MOST_CALCULATED:
            changes = effect_of(job, lambda job=job: take_revision(job=job, part=part, by=user))
        found.append(Reached(job=job, lines=mine, old=old, changes=changes))
    return found


@require_safe
@any_role
def part_effect(request: HttpRequest, code: str) -> HttpResponse:
    """Every open job with this part: its lines' revision, and what the current one changes."""
    part = get_object_or_404(Part.objects.select_related("current"), code=code)
    context = {
        "part": part,
        "reached": reached_by(part, request.user),
        "may_edit": has_role(request.user, DESIGNER, MANAGER),
    }
    return render(request, "jobs/build_sheet/part_effect.html", context)


@require_POST
@role_required(DESIGNER, MANAGER)
def part_take(request: HttpRequest, code: str, number: str) -> HttpResponse:
    part = get_object_or_404(Part.objects.select_related("current"), code=code)
    job = get_object_or_404(Job.objects.exclude(state__in=CLOSED), number=number)
    count = take_revision(job=job, part=part, by=request.user)
    words = f"{count} line{'s' if count != 1 else ''} of job {number} now"
    if count:
        messages.success(request, f"{words} on {part.current}.")
    else:
        messages.info(request, f"Job {number} is on {part.current} already.")
    return redirect("jobs:part_effect", code)
