"""The shop's check templates: what is checked, how far it may lie off, all or a sample, and why."""

from itertools import groupby

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from config.access import INSPECTOR, MANAGER, any_role, has_role, role_required
from inspections.bay.template_forms import CheckTemplateForm, NewTemplateForm
from inspections.checklists.fills import Piece, pieces
from inspections.checklists.making import margin_words
from inspections.checklists.template_models import CheckTemplate
from inspections.checklists.templates import (
    TemplateError,
    add_template,
    change_template,
    current_templates,
    ensure_templates,
)

LONGEST_VERSION = 5


@require_safe
@any_role
def check_template_list(request: HttpRequest) -> HttpResponse:
    """Every template by area: limits, and what is sampled with the reason."""
    rows = sorted(current_templates(), key=lambda one: (one.retired, one.area))
    groups = [
        ("No longer checked" if retired else area, [_row(one) for one in found])
        for (retired, area), found in groupby(
            rows, key=lambda one: (one.retired, "" if one.retired else one.area)
        )
    ]
    context = {"groups": groups, "may_edit": has_role(request.user, MANAGER, INSPECTOR)}
    return render(request, "inspections/bay/check_template_list.html", context)


Row = tuple[CheckTemplate, list[Piece], str]


def _row(template: CheckTemplate) -> Row:
    """A template, its title with what the design fills in apart, and its limit in words."""
    return template, list(pieces(template.code, template.title)), limit_words(template)


def limit_words(template: CheckTemplate) -> str:
    """The limit in one line: its own, or how far from the design's prediction."""
    unit = template.unit_of_measure
    if template.low is not None and template.high is not None:
        return f"{template.low.normalize():f} to {template.high.normalize():f} {unit}"
    if template.low is not None:
        return f"At least {template.low.normalize():f} {unit}"
    if template.high is not None:
        return f"At most {template.high.normalize():f} {unit}"
    if words := margin_words(template):
        return f"By the design, give or take {words}"
    return template.expected_text or "As designed"


@role_required(MANAGER, INSPECTOR)
@require_http_methods(["GET", "POST"])
def check_template_new(request: HttpRequest) -> HttpResponse:
    ensure_templates()
    form = NewTemplateForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            saved = add_template(by=request.user, facts=form.cleaned_data)
            messages.success(request, f"{saved.code} is checked on every unit made from now on.")
            return redirect("inspections:check_template_list")
        except TemplateError as error:
            form.add_error(None, str(error))
    status = 422 if form.errors else 200
    return render(request, "inspections/bay/check_template_new.html", {"form": form}, status=status)


@role_required(MANAGER, INSPECTOR)
@require_http_methods(["GET", "POST"])
def check_template_edit(request: HttpRequest, code: str) -> HttpResponse:
    """A new version; units whose checks exist keep theirs until they are made again."""
    ensure_templates()
    versions = list(
        CheckTemplate.objects.filter(code=code).select_related("made_by").order_by("-version")
    )
    if not versions:
        raise Http404(f"No check template has the code {code}.")
    last = versions[0]
    data = request.POST if request.method == "POST" else None
    form = CheckTemplateForm(data, instance=CheckTemplate.objects.get(pk=last.pk))
    if data is None:
        form.initial["note"] = ""
    elif form.is_valid():
        try:
            saved = change_template(
                code=code, seen_version=_seen(data), by=request.user, facts=form.cleaned_data
            )
            messages.success(
                request,
                f"{saved} is kept. Units whose checks exist already keep theirs until you bring "
                "them up to the design.",
            )
            return redirect("inspections:check_template_list")
        except TemplateError as error:
            form.add_error(None, str(error))
    context = {
        "form": form,
        "template": last,
        "versions": [_row(one) for one in versions],
    }
    status = 422 if form.errors else 200
    return render(request, "inspections/bay/check_template_edit.html", context, status=status)


def _seen(data: dict[str, str]) -> int:
    """The version on the person's screen; what is no number matches none."""
    text = data.get("seen_version", "")
    return int(text) if text.isdecimal() and len(text) <= LONGEST_VERSION else -1
