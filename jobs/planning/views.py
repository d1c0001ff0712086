"""Planning pages: the board of weeks, working out a plan, keeping it, checking a promise."""

from datetime import date
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, has_role, role_required
from jobs.audit.record import record
from jobs.intake.guard import StaleError, update_guarded
from jobs.intake.models import Unit
from jobs.intake.pages import conflict_page, form_page, posted
from jobs.planning import actions
from jobs.planning.board import ROWS, board
from jobs.planning.forms import PromiseForm, QuestionForm, ResourceForm, SettingsForm
from jobs.planning.models import PlanResource, PlanRun, PlanSettings
from jobs.planning.rows import MOST_UNITS, settings_row, units_to_plan
from jobs.stages.models import Stage
from jobs.stages.planned import planned_minutes

PLACE = "jobs/planning/{}.html".format
EDIT = ["GET", "HEAD", "POST"]
SHOWN_RUNS = 8


@any_role
@require_safe
def plan_board(request: HttpRequest) -> HttpResponse:
    return _board(request)


def _board(
    request: HttpRequest, *, form: QuestionForm | None = None, status: int = 200
) -> HttpResponse:
    text = request.GET.get("after", "")
    after = int(text[:6]) if text.isascii() and text.isdigit() else 0
    open_units = units_to_plan().count()
    context = {
        "board": board(after=after),
        "next_after": after + ROWS,
        "after": after,
        "form": form or QuestionForm(),
        "runs": PlanRun.objects.all()[:SHOWN_RUNS],
        "may_plan": has_role(request.user, MANAGER),
        "has_units": open_units > 0,
        "most": MOST_UNITS,
        "later": max(0, open_units - MOST_UNITS),
    }
    return render(request, PLACE("plan_board"), context, status=status)


@role_required(MANAGER)
@require_POST
def plan_make(request: HttpRequest) -> HttpResponse:
    """Work out a plan within a few seconds. Nothing changes before somebody keeps it."""
    form = QuestionForm(request.POST)
    if not form.is_valid():
        return _board(request, form=form, status=422)
    run = actions.work_out(by=request.user, **form.question())
    return redirect("jobs:plan_detail", run.pk)


@any_role
@require_safe
def plan_detail(request: HttpRequest, run: int) -> HttpResponse:
    return _plan(request, get_object_or_404(PlanRun, pk=run))


def _plan(
    request: HttpRequest, run: PlanRun, *, problem: str = "", status: int = 200
) -> HttpResponse:
    days = run.result["stages"]
    moved = []
    for stage in (
        Stage.objects.filter(pk__in=days)
        .select_related("unit__job")
        .order_by("unit_id", "position")
    ):
        first, last = (date.fromisoformat(day) for day in days[str(stage.pk)])
        if (stage.planned_start, stage.planned_end) != (first, last):
            moved.append((stage, first, last))
    units = [
        {**one, "ends": date.fromisoformat(one["ends"]), "promised": _day(one["promised"])}
        for one in run.result["units"]
    ]
    context = {
        "run": run,
        "units": sorted(units, key=lambda one: (not one["late"], one["ends"], one["unit"])),
        "late": sum(1 for one in units if one["late"]),
        "moved": moved,
        "problem": problem,
        "may_plan": has_role(request.user, MANAGER),
    }
    return render(request, PLACE("plan_detail"), context, status=status)


def _day(text: str) -> date | None:
    return date.fromisoformat(text) if text else None


@role_required(MANAGER)
@require_POST
def plan_keep(request: HttpRequest, run: int) -> HttpResponse:
    row = get_object_or_404(PlanRun, pk=run)
    try:
        count = actions.keep_plan(run=row, by=request.user)
    except actions.PlanError as error:
        return _plan(request, row, problem=str(error), status=409)
    messages.success(request, f"The plan is kept; {count} stages have other days.")
    return redirect("jobs:plan_board")


@role_required(MANAGER)
@require_http_methods(EDIT)
def plan_check(request: HttpRequest) -> HttpResponse:
    """Can a new job be done by a day? Asked against the present load, nothing saved."""
    form = PromiseForm(posted(request), initial={"job": request.GET.get("job", "")[:20]})
    context: dict[str, Any] = {}
    if form.is_valid():
        typed = form.cleaned_data
        unit = typed["job"].units.first() or Unit(job=typed["job"])
        promise = actions.check_promise(
            minutes=planned_minutes(unit),
            units=typed["units"],
            not_before=typed["not_before"],
            wished=typed["wished"],
        )
        context = {"promise": promise, "asked": typed}
        return render(request, PLACE("plan_check"), {**context, "form": form})
    return form_page(request, PLACE("plan_check"), form, context)


@role_required(MANAGER)
@require_safe
def plan_means(request: HttpRequest) -> HttpResponse:
    actions.ensure_resources()
    row = settings_row()
    context = {
        "resources": PlanResource.objects.all(),
        "settings_row": row,
        "free_days": [date.fromisoformat(day) for day in row.free_days],
    }
    return render(request, PLACE("plan_means"), context)


@role_required(MANAGER)
@require_http_methods(EDIT)
def plan_means_edit(request: HttpRequest, row_id: int) -> HttpResponse:
    """0 is a new one; a number changes that one."""
    row = get_object_or_404(PlanResource, pk=row_id) if row_id else PlanResource()
    return _save(request, ResourceForm(posted(request), instance=row), row)


@role_required(MANAGER)
@require_http_methods(EDIT)
def plan_hours(request: HttpRequest) -> HttpResponse:
    row, _ = PlanSettings.objects.get_or_create(pk=1)
    return _save(request, SettingsForm(posted(request), instance=row), row)


def _save(request: HttpRequest, form: Any, row: Any) -> HttpResponse:
    if not form.is_valid():
        return form_page(request, PLACE("plan_means_edit"), form, {"row": row})
    try:
        with transaction.atomic():
            if row.pk is None:
                row = form.save()
            else:
                version = form.cleaned_data["version"]
                update_guarded(row, version=version, values=form.values())
            sentence = f"Changed what planning counts with: {row}."
            record(by=request.user, verb="changed", subject=row, sentence=sentence)
    except StaleError as error:
        return conflict_page(request, PLACE("plan_means_edit"), form, error, {"row": row})
    return redirect("jobs:plan_means")


@role_required(MANAGER)
@require_POST
def plan_means_remove(request: HttpRequest, row_id: int) -> HttpResponse:
    row = PlanResource.objects.filter(pk=row_id).first()
    if row is None:
        raise Http404
    with transaction.atomic():
        sentence = f"Planning counts with {row} no more."
        record(by=request.user, verb="removed", subject=row, sentence=sentence)
        row.delete()
    return redirect("jobs:plan_means")
