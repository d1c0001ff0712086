"""The bay: the checks of a unit, and one check at a time with big targets."""

from collections import Counter

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import INSPECTOR, MANAGER, TECHNICIAN, any_role, bay_page, role_required
from config.offline import keep_for_reader, kept_offline
from inspections.bay.device import events_for_device, facts_for_device
from inspections.bay.forms import ResultForm, new_client_id
from inspections.checklists.actions import CheckError, took_part, void_result
from inspections.checklists.generate import generate_checks
from inspections.checklists.models import Check, Result
from inspections.checklists.notes import record_note
from inspections.decisions.conflicts import conflict_of, conflicts
from inspections.defects.actions import record_check
from jobs.models import Stage, Unit
from jobs.people.tablets import device_words
from jobs.photos.actions import store_photos

WORDS = dict(Check.State.choices)
# What needs somebody first, what is done last.
URGENCY = ("fail", "decision", "again", "open", "na", "pass")


def _unit(number: str, unit: str) -> Unit:
    query = Unit.objects.select_related("job__agency", "release")
    return get_object_or_404(query, job__number=number, number=unit)


def _chosen(request: HttpRequest, unit: Unit) -> QuerySet[Check]:
    """The checks that the address asks for: ?stage= and ?state=."""
    checks = unit.checks.filter(retired=False).select_related("stage", "circuit")
    if stage := request.GET.get("stage"):
        checks = checks.filter(stage__code=stage)
    if (state := request.GET.get("state")) in WORDS:
        checks = checks.filter(state=state)
    return checks


@require_safe
@any_role
@bay_page
def check_list(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    """Exceptions first, then what is open, then what is done; grouped by area."""
    found = _unit(number, unit)
    counts = Counter(found.checks.filter(retired=False).values_list("state", flat=True))
    checks = sorted(
        _chosen(request, found), key=lambda check: (URGENCY.index(check.state), check.position)
    )
    groups: dict[str, list[Check]] = {}
    for check in checks:
        urgent = check.state in ("fail", "decision", "again")
        groups.setdefault("Needs attention" if urgent else check.area, []).append(check)
    context = {
        "unit": found,
        "job": found.job,
        "groups": list(groups.items()),
        "counts": [(state, WORDS[state], counts[state]) for state in URGENCY],
        "stages": Stage.objects.filter(unit=found, checks__isnull=False).distinct(),
        "stage": request.GET.get("stage", ""),
        "state": request.GET.get("state", ""),
        "total": sum(counts.values()),
        "decisions": len(conflicts(found)),
        "events": events_for_device(found, checks, request.user),
    }
    response = render(request, "inspections/bay/check_list.html", context)
    # A filtered page is not kept: without a connection the tablet filters the whole one itself.
    return response if request.GET else keep_for_reader(request, response)


@require_POST
@role_required(MANAGER, INSPECTOR)
def checks_generate(request: HttpRequest, number: str, unit: str) -> HttpResponse:
    found = _unit(number, unit)
    try:
        made, changed = generate_checks(unit=found, by=request.user)
        messages.success(request, f"{made} checks are new, {changed} changed.")
    except Stage.DoesNotExist as error:
        messages.error(request, f"{error} Plan the stages first.")
    except CheckError as error:
        messages.error(request, str(error))
    return redirect("inspections:check_list", number, unit)


def _check(number: str, unit: str, ref: str) -> Check:
    query = Check.objects.select_related("unit__job__agency", "stage", "circuit__feed")
    return get_object_or_404(query, unit__job__number=number, unit__number=unit, ref=ref)


@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@kept_offline
@bay_page
@require_http_methods(["GET", "POST"])
def check_detail(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """One check: what to do, what is expected, and three big answers."""
    check = _check(number, unit, ref)
    if request.method != "POST":
        return _page(request, check, _fresh_form(request, check))
    form = ResultForm(request.POST, request.FILES, check=check)
    if form.is_valid():
        try:
            photos = store_photos(files=form.cleaned_data["photos"], by=request.user)
            if form.cleaned_data["pressed"] == "note":
                record_note(
                    check=check,
                    by=request.user,
                    text=form.cleaned_data["reason"],
                    photos=photos,
                    client_id=form.cleaned_data["client_id"],
                )
                return redirect(request.path)
            result, defect = record_check(
                check=check,
                by=request.user,
                reading=form.reading(device=device_words(request)),
                photos=photos,
            )
            return _next(request, check, result, str(defect) if defect else "")
        except CheckError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
    return _page(request, check, form, status=422)


def _fresh_form(request: HttpRequest, check: Check) -> ResultForm:
    """Instrument and conditions are chosen once per stage and kept for the next check."""
    kept = request.session.get(f"stage-{check.stage_id}", {})
    last = check.results.order_by("sequence").last()
    initial = kept | {
        "client_id": new_client_id(),
        "base_sequence": last.sequence if last else 0,
        "check_version": check.version,
    }
    return ResultForm(check=check, initial=initial)


def _next(request: HttpRequest, check: Check, result: Result, defect: str) -> HttpResponse:
    """After a result: on to the next open check of the stage, or stay where a defect opened."""
    if result.instrument_id:
        request.session[f"stage-{check.stage_id}"] = {
            "instrument": result.instrument_id,
            "conditions": result.conditions,
        }
    word = Result.Verdict(result.verdict).label
    number, unit = check.unit.job.number, check.unit.number
    request.session["last_check"] = {"ref": check.ref, "word": word, "unit": check.unit_id}
    if defect:
        messages.warning(request, f"{check.ref} recorded: {word}. Defect {defect} is open.")
        return redirect("inspections:check_detail", number, unit, check.ref)
    following = (
        Check.objects.filter(unit=check.unit, stage=check.stage, retired=False)
        .filter(state__in=["open", "again"], position__gt=check.position)
        .order_by("position")
        .first()
    )
    target = following.ref if following else check.ref
    return redirect("inspections:check_detail", number, unit, target)


def _page(
    request: HttpRequest, check: Check, form: ResultForm, *, status: int = 200
) -> HttpResponse:
    states = dict(
        Check.objects.filter(unit=check.unit, stage=check.stage, retired=False)
        .order_by("position")
        .values_list("ref", "state")
    )
    siblings = list(states)
    place = siblings.index(check.ref) if check.ref in siblings else 0
    last = request.session.get("last_check")
    context = {
        "check": check,
        "unit": check.unit,
        "job": check.unit.job,
        "form": form,
        "place": place + 1,
        "of": len(siblings),
        "device": facts_for_device(check, states),
        "events": events_for_device(check.unit, [check], request.user),
        "before": siblings[place - 1] if place > 0 else "",
        "after": siblings[place + 1] if place + 1 < len(siblings) else "",
        "results": check.results.select_related("person", "instrument", "voids", "keeps")
        .prefetch_related("photos__photo", "voided_by")
        .order_by("-sequence"),
        "conflict": conflict_of(check),
        "late": _late_words(check),
        "own_part": took_part(check=check, person=request.user),
        "last": last if last and last["unit"] == check.unit_id else None,
        "defects": check.defects.all(),
    }
    return render(request, "inspections/bay/check_detail.html", context, status=status)


def _late_words(check: Check) -> str:
    """Which signature already covers the check; empty when none does."""
    if hasattr(check.unit, "release"):
        return f"Unit {check.unit.number} is released."
    waits = check.state in (Check.State.OPEN, Check.State.AGAIN)
    if check.stage.state == Stage.State.SIGNED and not waits:
        return f"{check.stage.code} is signed off."
    return ""


@require_POST
@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@bay_page
def check_undo(request: HttpRequest, number: str, unit: str, ref: str) -> HttpResponse:
    """Take back one's own newest result of a check; it stays in the record, struck."""
    check = _check(number, unit, ref)
    result = (
        check.results.filter(kind=Result.Kind.RESULT, voided_by=None, person=request.user)
        .order_by("sequence")
        .last()
    )
    if result is None:
        messages.error(request, f"There is no result of yours on {ref} to take back.")
    else:
        try:
            void_result(result=result, by=request.user, reason="Taken back by the same person")
            messages.success(request, f"{ref}: your last entry is taken back.")
        except CheckError as error:
            messages.error(request, str(error))
    request.session.pop("last_check", None)
    return redirect("inspections:check_detail", number, unit, ref)
