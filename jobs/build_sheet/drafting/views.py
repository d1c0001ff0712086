"""The logic editor: a version entry by entry, one form for each, proofs beside the interlocks."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, any_role, has_role, role_required
from jobs.build_sheet.drafting.actions import (
    discard_draft,
    remove_entry,
    save_entry,
    start_draft,
)
from jobs.build_sheet.drafting.document import KEYS, NOUNS, DraftError
from jobs.build_sheet.drafting.pages import sheet_context
from jobs.build_sheet.drafting.sentences import line_of, usable
from jobs.build_sheet.drafting.start_form import StartForm
from jobs.build_sheet.drafting.trying import tried
from jobs.build_sheet.drafting.typed import Typed, typed_entry, with_insert
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import job_or_404, page
from jobs.controls.codec import from_json
from jobs.controls.logic import Logic


def kept_or_404(number: str, version: str) -> ControlLogic:
    query = ControlLogic.objects.select_related("job__agency")
    return get_object_or_404(query, job__number=number, version=version)


def part_or_404(part: str) -> str:
    if part not in KEYS:
        raise Http404
    return part


def seen_in(request: HttpRequest) -> int:
    """The count of changes that the page was made from; -1 fits no draft."""
    typed = request.POST.get("edits", "")
    return int(typed) if typed.isdecimal() and len(typed) < 10 else -1


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER)
def logic_start(request: HttpRequest, number: str) -> HttpResponse:
    """A new draft: a copy of a version, or empty."""
    job = job_or_404(number)
    form = StartForm(request.POST or None, job=job)
    if request.method == "POST" and form.is_valid():
        try:
            draft = start_draft(job=job, by=request.user, **form.cleaned_data)
            return redirect("jobs:logic_sheet", number, draft.version)
        except DraftError as error:
            form.add_error("version", str(error))
    return page(request, job, "logic_start", form=form, status=422 if form.errors else 200)


@require_safe
@any_role
def logic_sheet(request: HttpRequest, number: str, version: str) -> HttpResponse:
    """Everything in one version, as sentences, with what is proved and what still keeps it back."""
    kept = kept_or_404(number, version)
    may_draft = has_role(request.user, DESIGNER) and not kept.is_released
    context = sheet_context(kept) | {"may_draft": may_draft}
    return page(request, kept.job, "logic_sheet", **context)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER)
def logic_entry_add(request: HttpRequest, number: str, version: str, part: str) -> HttpResponse:
    return _edit(request, kept_or_404(number, version), part_or_404(part), None)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER)
def logic_entry(
    request: HttpRequest, number: str, version: str, part: str, name: str
) -> HttpResponse:
    kept = kept_or_404(number, version)
    if line_of(from_json(kept.logic), part_or_404(part), name) is None:
        raise Http404
    return _edit(request, kept, part, name)


def _edit(request: HttpRequest, draft: ControlLogic, part: str, was: str | None) -> HttpResponse:
    """Add or change one entry. Asked for its sentence, say it and keep nothing."""
    if draft.is_released:
        messages.error(request, f"Logic {draft.version} is released and stays as it is.")
        return redirect("jobs:logic_sheet", draft.job.number, draft.version)
    logic = from_json(draft.logic)
    now = typed_entry(draft, logic, part, was, request.POST or None)
    if request.method != "POST":
        return _entry_page(request, now, logic)
    if "insert" in request.POST:
        return _entry_page(request, with_insert(now, logic, request.POST), logic)
    if not now.good:
        return _entry_page(request, now, logic, status=422)
    try:
        sentence = now.sentence()
        if "preview" in request.POST:
            return _entry_page(request, now, logic, sentence=sentence)
        save_entry(
            draft=draft, seen=seen_in(request), part=part, was=was, entry=now.entry(),
            by=request.user,
        )  # fmt: skip
    except DraftError as error:
        found = now.mark(error.problem)
        now.complain(error.problem)
        status = 409 if error.stale else 422
        return _entry_page(request, now, logic, mark=found, status=status)
    messages.success(request, f"Saved. {sentence.sentence if sentence else ''}")
    anchor = reverse("jobs:logic_sheet", args=[draft.job.number, draft.version])
    return redirect(f"{anchor}#{part}")


def _entry_page(
    request: HttpRequest, now: Typed, logic: Logic, *, status: int = 200, **more: Any
) -> HttpResponse:
    draft, form = now.draft, now.form
    edits: Any = request.POST.get("edits", draft.edits)
    if status == 409:
        fresh = ControlLogic.objects.filter(pk=draft.pk).first() or draft
        edits = fresh.edits
        more["stands"] = line_of(from_json(fresh.logic), now.part, now.was) if now.was else None
    args = [draft.job.number, draft.version, now.part]
    for name in form.expressions:
        form.fields[name].widget.attrs |= {
            "hx-post": reverse("jobs:expression_try", args=args),
            "hx-vals": f'{{"field": "{name}"}}',
            "hx-trigger": "input changed delay:400ms",
            "hx-target": f"#says-{name}",
        }
    context = {
        "kept": draft,
        "part": now.part,
        "noun": NOUNS[now.part],
        "name": now.was,
        "form": form,
        "patterns": now.patterns,
        "edits": edits,
        "line": line_of(logic, now.part, now.was) if now.was else None,
        "names": usable(logic) if form.expressions else [],
        **more,
    }
    return page(request, draft.job, "logic_entry", status=status, **context)


@require_POST
@role_required(DESIGNER)
def logic_entry_remove(
    request: HttpRequest, number: str, version: str, part: str, name: str
) -> HttpResponse:
    draft = kept_or_404(number, version)
    try:
        remove_entry(
            draft=draft, seen=seen_in(request), part=part_or_404(part), name=name, by=request.user
        )
        messages.success(request, f"Removed {NOUNS[part]} {name}.")
    except DraftError as error:
        problem = error.problem
        place = f" It is used by {NOUNS[problem.part]} {problem.name}." if problem.name else ""
        messages.error(request, f"{name} is not removed.{place} {problem.sentence}")
    return redirect("jobs:logic_sheet", number, version)


@require_POST
@role_required(DESIGNER)
def expression_try(request: HttpRequest, number: str, version: str, part: str) -> HttpResponse:
    """What an expression says, or what is wrong in it and where; nothing is kept."""
    kept = kept_or_404(number, version)
    written = request.POST.get(request.POST.get("field", ""), "")
    says = tried(from_json(kept.logic), written, lines=part_or_404(part) == "interlocks")
    return page(request, kept.job, "expression_try", says=says, kept=kept)


@require_POST
@role_required(DESIGNER)
def logic_discard(request: HttpRequest, number: str, version: str) -> HttpResponse:
    draft = kept_or_404(number, version)
    try:
        discard_draft(draft=draft, seen=seen_in(request), by=request.user)
        messages.success(request, f"The draft of logic {version} is discarded.")
    except DraftError as error:
        messages.error(request, str(error))
        return redirect("jobs:logic_sheet", number, version)
    return redirect("jobs:logic_list", number)
