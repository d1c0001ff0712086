"""Pages about parts: the list, one part at a revision, making and revising, retiring."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from catalog import actions
from catalog.datasheet import Datasheet, changes, merged, of_revision
from catalog.editor import PartEditor
from catalog.errors import CatalogError, NothingChanged, StalePart
from catalog.filters import PartFilter, headings
from catalog.forms import SUGGESTIONS, RetireForm
from catalog.models import Part, PartRevision
from catalog.queries import (
    draws_in_words,
    facts_in_words,
    figures_in_words,
    history_of,
    limits_in_words,
    list_row,
    revisions_of,
    uses_of,
)
from catalog.ratings import gap_words
from config.access import DESIGNER, MANAGER, any_role, has_role, role_required

PER_PAGE = 50
form_view = require_http_methods(["GET", "HEAD", "POST"])


def _part(code: str) -> Part:
    parts = Part.objects.select_related("current__part", "replaced_by")
    return get_object_or_404(parts, code=code, current__isnull=False)


def _may_edit(request: HttpRequest) -> bool:
    return has_role(request.user, MANAGER, DESIGNER)


@any_role
@require_safe
@vary_on_headers("HX-Request")
def part_list(request: HttpRequest) -> HttpResponse:
    parts = Part.objects.filter(current__isnull=False)
    asked = PartFilter(request.GET or {"search": ""}, parts.select_related("current"))
    valid = asked.is_valid()
    found = asked.qs.prefetch_related("current__draws") if valid else parts.none()
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "filter": asked,
        "form": asked.form,
        "page": page,
        "rows": [list_row(part) for part in page],
        "headings": headings(request.GET.get("sort", "") if valid else ""),
        "narrowed": asked.narrowed,
        "empty_catalog": not page and not parts.exists(),
        "may_edit": _may_edit(request),
    }
    fragment = "#part-results" if request.htmx else ""
    template = f"catalog/part_list.html{fragment}"
    return render(request, template, context, status=200 if valid else 422)


def _datasheet_page(request: HttpRequest, part: Part, revision: PartRevision) -> HttpResponse:
    sheet = of_revision(revision)
    may_edit = _may_edit(request)
    cost = ("cost_cents",) if may_edit else ()
    context = {
        "part": part,
        "revision": revision,
        "is_current": revision.pk == part.current_id,
        "gaps": gap_words(revision),
        "figures": figures_in_words(sheet),
        "draws": draws_in_words(sheet),
        "coloured": any(colour for _, colour in sheet.draws),
        "limits": limits_in_words(sheet.limits),
        "fitting": facts_in_words(
            sheet, "drop_class", "check_group", "serial_tracked", "warranty_months", "datasheet"
        ),
        "buying": facts_in_words(sheet, "ownership", *cost, "price_date", "lead_days"),
        "history": history_of(part),
        "uses": uses_of(part),
        "may_edit": may_edit,
    }
    return render(request, "catalog/part_detail.html", context)


@any_role
@require_safe
def part_detail(request: HttpRequest, code: str) -> HttpResponse:
    part = _part(code)
    return _datasheet_page(request, part, revisions_of(part).get(pk=part.current_id))


@any_role
@require_safe
def part_revision(request: HttpRequest, code: str, number: int) -> HttpResponse:
    """An older datasheet, as designs and quotes still hold it."""
    part = _part(code)
    return _datasheet_page(request, part, get_object_or_404(revisions_of(part), number=number))


def _editor_page(
    request: HttpRequest, name: str, editor: PartEditor, status: int = 200, **context: Any
) -> HttpResponse:
    context |= {"editor": editor, "form": editor.facts, "suggestions": SUGGESTIONS}
    if status == 422:
        context["problems"] = list(editor.problems())
    return render(request, f"catalog/{name}.html", context, status=status)


@role_required(MANAGER, DESIGNER)
@form_view
def part_new(request: HttpRequest) -> HttpResponse:
    if request.method != "POST":
        return _editor_page(request, "part_new", PartEditor(new=True))
    editor = PartEditor(request.POST, new=True)
    if "add_rows" in request.POST:
        return _editor_page(request, "part_new", editor.with_more_rows())
    if editor.is_valid():
        code = editor.about.cleaned_data["code"]
        try:
            part = actions.create_part(code=code, datasheet=editor.datasheet(), by=request.user)
        except CatalogError as error:
            editor.about.add_error("code", str(error))
        else:
            messages.success(request, f"{part.code} is in the catalog.")
            return redirect("catalog:part_detail", part.code)
    return _editor_page(request, "part_new", editor, 422)


@role_required(MANAGER, DESIGNER)
@form_view
def part_edit(request: HttpRequest, code: str) -> HttpResponse:
    """Save as the next revision. Meets somebody else's revision without losing either."""
    part = _part(code)
    if request.method != "POST":
        editor = PartEditor(
            new=False, sheet=of_revision(part.current), base_number=part.current.number
        )
        return _editor_page(request, "part_edit", editor, part=part)
    editor = PartEditor(request.POST, new=False)
    if "add_rows" in request.POST:
        return _editor_page(request, "part_edit", editor.with_more_rows(), part=part)
    if editor.is_valid():
        try:
            revision = actions.revise_part(
                part=part, datasheet=editor.datasheet(), by=request.user,
                **editor.about.cleaned_data,
            )  # fmt: skip
        except StalePart as error:
            return _merge_page(request, _part(code), editor, str(error))
        except NothingChanged as told:
            messages.info(request, str(told))
            return redirect("catalog:part_detail", code)
        except CatalogError as error:
            editor.about.add_error(None, str(error))
        else:
            messages.success(request, f"{code} is at revision {revision.number}.")
            return redirect("catalog:part_detail", code)
    return _editor_page(request, "part_edit", editor, 422, part=part)


def _merge_page(
    request: HttpRequest, part: Part, editor: PartEditor, sentence: str
) -> HttpResponse:
    """The form again on top of the newer revision, with both people's changes in it."""
    about = editor.about.cleaned_data
    base = of_revision(part.revisions.select_related("part").get(number=about["base_number"]))
    theirs = of_revision(part.current)
    both: Datasheet = merged(base=base, mine=editor.datasheet(), theirs=theirs)
    again = PartEditor(
        new=False, sheet=both, base_number=part.current.number, reason=about["reason"]
    )
    context = {
        "part": part,
        "sentence": sentence,
        "their_changes": changes(base, theirs),
        "my_changes": changes(theirs, both),
    }
    return _editor_page(request, "part_edit", again, 409, **context)


@role_required(MANAGER, DESIGNER)
@form_view
def part_retire(request: HttpRequest, code: str) -> HttpResponse:
    part = _part(code)
    form = RetireForm(request.POST if request.method == "POST" else None, part=part)
    if form.is_valid():
        try:
            actions.retire_part(
                part=part, replaced_by=form.cleaned_data["replacement"], by=request.user
            )
            messages.success(request, f"{code} is retired. Jobs that hold it keep it.")
        except CatalogError as error:
            messages.error(request, str(error))
        return redirect("catalog:part_detail", code)
    status = 422 if form.is_bound else 200
    context = {"part": part, "form": form, "uses": uses_of(part)}
    return render(request, "catalog/part_retire.html", context, status=status)


@role_required(MANAGER, DESIGNER)
@require_POST
def part_restore(request: HttpRequest, code: str) -> HttpResponse:
    part = _part(code)
    try:
        actions.restore_part(part=part, by=request.user)
        messages.success(request, f"{code} is in use again.")
    except CatalogError as error:
        messages.error(request, str(error))
    return redirect("catalog:part_detail", code)
