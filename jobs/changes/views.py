"""Pages of what a change does to the vehicle: its effect, doing it, raising one in the bay."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.changes import actions
from jobs.changes.edits import Edit, EditError, words
from jobs.changes.effect import effect_of_edits
from jobs.changes.forms import EditForm, RaiseForm
from jobs.intake.pages import posted
from jobs.photos.actions import store_photos
from jobs.quoting.contract import contract_of
from jobs.quoting.errors import QuoteError
from jobs.quoting.models import ChangeOrder
from jobs.stages.models import Stage

EDIT = ["GET", "HEAD", "POST"]


def _change(number: str, change: int) -> ChangeOrder:
    rows = ChangeOrder.objects.select_related("job__agency", "quote")
    return get_object_or_404(rows, job__number=number, number=change)


@any_role
@require_http_methods(["GET", "HEAD"])
def change_effect(request: HttpRequest, number: str, change: int) -> HttpResponse:
    return _page(request, _change(number, change))


def _page(
    request: HttpRequest,
    change: ChangeOrder,
    *,
    form: EditForm | None = None,
    problem: str = "",
    status: int = 200,
) -> HttpResponse:
    """The edits and their effect; worked out anew for a draft, as kept for all others."""
    draft = change.state == ChangeOrder.State.DRAFT
    stale = []
    if draft and change.edits and not problem:
        try:
            stale = _moved(change)
        except EditError as error:
            problem = str(error)
    context = {
        "job": change.job,
        "change": change,
        "draft": draft,
        "edits": [words(edit) for edit in change.edits],
        "sentences": change.effect.get("sentences", []),
        "moved": stale,
        "form": form or EditForm(job=change.job, initial={"version": change.version}),
        "refs": change.job.lines.values_list("ref", "part__description"),
        "problem": problem,
        "money": has_role(request.user, MANAGER),
        "may_edit": has_role(request.user, MANAGER, DESIGNER),
    }
    return render(request, "jobs/changes/change_effect.html", context, status=status)


def _moved(change: ChangeOrder) -> list[str]:
    """What the same edits would do today, if that is no longer what was kept."""
    now = effect_of_edits(change.job, change.edits).sentences
    return now if now != change.effect.get("sentences", []) else []


@role_required(MANAGER, DESIGNER)
@require_POST
def change_edit_add(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    form = EditForm(request.POST, job=row.job)
    if not form.is_valid():
        return _page(request, row, form=form, status=422)
    return _set(request, row, form.cleaned_data["version"], [*row.edits, form.edit()])


@role_required(MANAGER, DESIGNER)
@require_POST
def change_edit_drop(request: HttpRequest, number: str, change: int, place: int) -> HttpResponse:
    """Take one edit back, or with a place behind the last work all out again."""
    row = _change(number, change)
    text = request.POST.get("version", "")[:9]
    version = int(text) if text.isascii() and text.isdigit() else -1
    kept = [edit for index, edit in enumerate(row.edits) if index != place]
    return _set(request, row, version, kept)


def _set(request: HttpRequest, row: ChangeOrder, version: int, edits: list[Edit]) -> HttpResponse:
    try:
        actions.set_edits(change=row, version=version, edits=edits, by=request.user)
    except QuoteError as error:
        fresh = _change(row.job.number, row.number)
        return _page(request, fresh, problem=str(error), status=409)
    messages.success(request, f"The effect of {row} is worked out.")
    return redirect("jobs:change_effect", row.job.number, row.number)


@role_required(MANAGER, DESIGNER)
@require_POST
def change_apply(request: HttpRequest, number: str, change: int) -> HttpResponse:
    row = _change(number, change)
    try:
        actions.apply_change(change=row, by=request.user)
    except QuoteError as error:
        return _page(request, _change(number, change), problem=str(error), status=409)
    messages.success(request, f"{row} is on the build sheet; stages and checks follow it.")
    return redirect("jobs:change_effect", number, change)


@any_role
@require_http_methods(EDIT)
def change_raise(request: HttpRequest, number: str, unit: str, code: str) -> HttpResponse:
    """Something found at the vehicle: one sentence and a photo, priced by the office."""
    stage = get_object_or_404(
        Stage.objects.select_related("unit__job"),
        unit__job__number=number, unit__number=unit, code=code,
    )  # fmt: skip
    form = RaiseForm(posted(request), request.FILES or None)
    if form.is_valid():
        typed = form.cleaned_data
        photos = store_photos(files=typed.pop("photos"), by=request.user)
        try:
            change = actions.raise_change(
                stage=stage, by=request.user, photo=photos[0] if photos else None, **typed
            )
        except QuoteError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"{change} is with the office. Nobody works on it yet.")
            return redirect(reverse("jobs:stage_detail", args=[number, unit, code]))
    context = {"stage": stage, "form": form, "contract": contract_of(stage.unit.job)}
    status = 422 if form.is_bound else 200
    return render(request, "jobs/changes/change_raise.html", context, status=status)
