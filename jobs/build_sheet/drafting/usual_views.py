"""Pages of the usual rules: the list, and one rule with its numbers and what it would add."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from config.access import DESIGNER, role_required
from jobs.build_sheet.drafting.actions import replace_logic
from jobs.build_sheet.drafting.document import DraftError
from jobs.build_sheet.drafting.pages import TITLES
from jobs.build_sheet.drafting.usual import UsualForm, added, usual_rules
from jobs.build_sheet.drafting.views import kept_or_404, seen_in
from jobs.build_sheet.models import ControlLogic
from jobs.build_sheet.views import page
from jobs.controls.codec import from_json, to_json
from jobs.controls.logic import Logic
from jobs.controls.templates.catalogue import TEMPLATES


@require_safe
@role_required(DESIGNER)
def usual_list(request: HttpRequest, number: str, version: str) -> HttpResponse:
    kept = kept_or_404(number, version)
    rules = usual_rules(from_json(kept.logic))
    return page(request, kept.job, "usual_list", kept=kept, rules=rules)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER)
def usual_add(request: HttpRequest, number: str, version: str, key: str) -> HttpResponse:
    """One usual rule: its numbers, what it would add in words, and the button that adds it."""
    kept = kept_or_404(number, version)
    if key not in TEMPLATES:
        raise Http404
    logic = from_json(kept.logic)
    form = UsualForm(request.POST or None, template=TEMPLATES[key], logic=logic)
    if request.method != "POST":
        return _usual_page(request, kept, logic, form)
    if not form.is_valid():
        return _usual_page(request, kept, logic, form, status=422)
    try:
        if "preview" in request.POST:
            return _usual_page(request, kept, logic, form)
        replace_logic(
            draft=kept,
            seen=seen_in(request),
            data=to_json(form.applied()),
            words=f"Added usual rule {key} {form.template.title.lower()}",
            by=request.user,
        )
    except DraftError as error:
        form.add_error(None, str(error))
        return _usual_page(request, kept, logic, form, status=409 if error.stale else 422)
    messages.success(request, f"{key} {form.template.title} is in logic {version}.")
    return redirect(f"{reverse('jobs:logic_sheet', args=[number, version])}#rules")


def _usual_page(
    request: HttpRequest, kept: ControlLogic, logic: Logic, form: UsualForm, *, status: int = 200
) -> HttpResponse:
    """What would be added is shown with the typed numbers, or with the usual ones."""
    shown = form
    if not form.is_bound:
        initial = {name: field.initial for name, field in form.fields.items()}
        shown = UsualForm(initial, template=form.template, logic=logic)
    edits: object = request.POST.get("edits", kept.edits)
    if status == 409:
        edits = ControlLogic.objects.filter(pk=kept.pk).values_list("edits", flat=True).first()
    adds, refused = [], ""
    if shown.is_valid():
        try:
            adds = added(logic, shown.applied())
        except DraftError as error:
            refused = str(error)
    context = {
        "kept": kept,
        "form": form,
        "usual": form.template,
        "adds": [(TITLES[each.part], each.lines) for each in adds],
        "refused": "" if form.errors else refused,
        "names": [each.name for each in (*logic.signals, *logic.outputs)],
        "edits": edits,
    }
    return page(request, kept.job, "usual_add", status=status, **context)
