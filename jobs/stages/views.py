"""Stage pages: the board, one unit's stages, one stage in the bay."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import (
    INSPECTOR,
    MANAGER,
    TECHNICIAN,
    any_role,
    bay_page,
    has_role,
    role_required,
)
from config.offline import kept_offline
from jobs.audit.record import record
from jobs.build_sheet.unit_lines import lines_of
from jobs.intake.models import Job, Unit
from jobs.quoting.models import ChangeOrder
from jobs.stages import actions, holds
from jobs.stages.board import open_stages, row, rows, units_in_work, with_parts
from jobs.stages.drawings import acknowledge_drawing, unseen
from jobs.stages.for_changes import changes_to_work_on
from jobs.stages.forms import FinishForm, HoldForm, ReasonForm, StagePlanForm
from jobs.stages.models import Hold, Stage

BOARD_UNITS = 30


def _stage(number: str, unit: str, code: str) -> Stage:
    return get_object_or_404(
        with_parts(Stage.objects.all()), unit__job__number=number, unit__number=unit, code=code
    )


def _back(stage: Stage) -> HttpResponse:
    unit = stage.unit
    return redirect("jobs:stage_detail", unit.job.number, unit.number, stage.code)


@require_safe
@any_role
@bay_page
def stage_board(request: HttpRequest) -> HttpResponse:
    """Open stages of units in the shop, grouped by stage, in the order of the work."""
    text = request.GET.get("after", "")
    after = int(text[:6]) if text.isascii() and text.isdigit() else 0
    keys = units_in_work(after, BOARD_UNITS)
    groups: dict[tuple[int, str, str], list[object]] = {}
    found = open_stages().filter(unit__in=keys[:BOARD_UNITS])
    for stage in with_parts(found).order_by("position", "unit__job__promised_on"):
        key = (stage.position, stage.code, stage.name)
        groups.setdefault(key, []).append(row(stage, first_only=True))
    context = {
        "groups": [(code, name, found) for (_, code, name), found in groups.items()],
        "after": after,
        "next_after": after + BOARD_UNITS if len(keys) > BOARD_UNITS else 0,
    }
    return render(request, "jobs/stages/stage_board.html", context)


@require_safe
@any_role
def job_stages(request: HttpRequest, number: str) -> HttpResponse:
    job = get_object_or_404(Job.objects.select_related("agency"), number=number)
    units = [
        (unit, rows(with_parts(unit.stages.all()).order_by("position"))) for unit in job.units.all()
    ]
    totals = {
        unit.pk: (
            sum(r.stage.planned_minutes for r in found),
            sum(r.booked_minutes for r in found),
        )
        for unit, found in units
    }
    may_plan = has_role(request.user, MANAGER)
    context = {"job": job, "units": units, "totals": totals, "may_plan": may_plan}
    return render(request, "jobs/stages/job_stages.html", context)


@require_POST
@role_required(MANAGER)
def stages_plan(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = get_object_or_404(Unit.objects.select_related("job"), job__number=number, number=unit)
    stages = actions.plan_stages(unit=found, by=request.user)
    messages.success(request, f"Unit {found.number} has {len(stages)} stages.")
    return redirect("jobs:job_stages", number)


@require_safe
@any_role
@kept_offline
@bay_page
def stage_detail(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    stage = _stage(number, unit, code)
    context = {
        "stage": stage,
        "row": row(stage),
        "lines": lines_of(stage.unit, stage=stage.code),
        "differences": stage.unit.differences.select_related("line"),
        "changes": changes_to_work_on(stage),
        "events": stage.events.select_related("person").order_by("-at", "-id")[:12],
        "running_since": actions.running_since(stage=stage, person=request.user),
        "may_work": has_role(request.user, TECHNICIAN),
        "may_release": has_role(request.user, INSPECTOR, MANAGER),
        "worked_on": actions.worked_on(stage=stage, person=request.user),
    }
    return render(request, "jobs/stages/stage_detail.html", context)


@role_required(MANAGER)
@require_http_methods(["GET", "POST"])
def stage_plan(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    """Who works on the stage, when, with which instructions."""
    stage = _stage(number, unit, code)
    form = StagePlanForm(request.POST or None, instance=stage)
    if request.method == "POST" and form.is_valid():
        form.save()
        record(
            by=request.user,
            verb="planned",
            subject=stage,
            job=number,
            sentence=f"Planned {stage.code} {stage.name} on {unit}.",
        )
        return redirect("jobs:job_stages", number)
    status = 422 if form.errors else 200
    context = {"stage": stage, "job": stage.unit.job, "form": form}
    return render(request, "jobs/stages/stage_plan.html", context, status=status)


@require_POST
@role_required(TECHNICIAN)
@bay_page
def stage_work(request: HttpRequest, number: str, unit: str, code: str, move: str) -> HttpResponse:
    """Start or stop this person's timer."""
    stage = _stage(number, unit, code)
    try:
        if move == "start":
            change = _change_named(request, stage)
            actions.start_work(stage=stage, by=request.user, change=change)
        elif move == "stop":
            actions.stop_work(stage=stage, by=request.user)
        else:
            raise Http404
    except actions.StageError as error:
        messages.error(request, str(error))
    return _back(stage)


def _change_named(request: HttpRequest, stage: Stage) -> ChangeOrder | None:
    """The change order that the work is for, when the person said so."""
    number = request.POST.get("change", "")
    if not number:
        return None
    if not (number.isascii() and number.isdigit()):
        raise Http404
    found = ChangeOrder.objects.filter(job_id=stage.unit.job_id, number=int(number[:4]))
    return get_object_or_404(found)


@role_required(TECHNICIAN)
@bay_page
@require_http_methods(["GET", "POST"])
def stage_finish(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    stage = _stage(number, unit, code)
    form = FinishForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.finish_stage(stage=stage, by=request.user, note=form.cleaned_data["note"])
            messages.success(request, f"{stage.code} {stage.name} is finished.")
        except actions.StageError as error:
            messages.error(request, str(error))
        return _back(stage)
    return render(request, "jobs/stages/stage_finish.html", {"stage": stage, "form": form})


@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@bay_page
@require_http_methods(["GET", "POST"])
def stage_drawing(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    """What was released since the stage was started; acknowledging it lets the work go on."""
    stage = _stage(number, unit, code)
    revisions = unseen(stage)
    if request.method == "POST":
        seen = request.POST.get("seen", "")
        number_seen = int(seen) if seen.isdecimal() and len(seen) < 6 else 0
        done = acknowledge_drawing(stage=stage, by=request.user, seen=number_seen)
        if done is None:
            messages.warning(request, "Nothing was acknowledged. Look at what is shown now.")
        return _back(stage)
    context = {"stage": stage, "revisions": revisions}
    return render(request, "jobs/stages/stage_drawing.html", context)


@role_required(MANAGER, INSPECTOR)
@require_http_methods(["GET", "POST"])
def stage_reopen(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    stage = _stage(number, unit, code)
    form = ReasonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.reopen_stage(stage=stage, by=request.user, reason=form.cleaned_data["reason"])
        except actions.StageError as error:
            messages.error(request, str(error))
        return _back(stage)
    status = 422 if form.errors else 200
    context = {"stage": stage, "form": form}
    return render(request, "jobs/stages/stage_reopen.html", context, status=status)


@role_required(INSPECTOR, MANAGER)
@require_http_methods(["GET", "POST"])
def hold_release(
    request: HttpRequest, number: str, unit: str, code: str, hold: str
) -> HttpResponse:
    """Look at a hold: release it, or refuse it with what was found."""
    stage = _stage(number, unit, code)
    found = get_object_or_404(Hold, stage=stage, code=hold)
    form = HoldForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        note = form.cleaned_data["note"]
        try:
            if "refuse" in request.POST:
                holds.refuse_hold(hold=found, by=request.user, reason=note)
                messages.warning(request, f"Hold {found.code} stays. Your reason is recorded.")
            else:
                holds.release_hold(hold=found, by=request.user, note=note)
                messages.success(request, f"Hold {found.code} is released.")
            return _back(stage)
        except actions.StageError as error:
            form.add_error("note", str(error))
    context = {
        "stage": stage,
        "hold": found,
        "form": form,
        "blocked": [] if found.released_at else holds.hold_blockers(found),
    }
    status = 422 if form.errors else 200
    return render(request, "jobs/stages/hold_release.html", context, status=status)
