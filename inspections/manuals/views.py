"""The page of a part's makers' documents."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalog.models import Part
from config.access import DESIGNER, MANAGER, any_role, bay_page, has_role, role_required
from inspections.manuals import actions
from inspections.manuals.forms import ManualForm
from inspections.manuals.models import Manual
from jobs.documents.attached import AttachedError, attached_path
from jobs.documents.responses import pdf_response


def _part(code: str) -> Part:
    parts = Part.objects.select_related("current")
    return get_object_or_404(parts, code=code, current__isnull=False)


def _page(request: HttpRequest, part: Part, form: ManualForm, status: int = 200) -> HttpResponse:
    context = {
        "part": part,
        "manuals": part.manuals.filter(removed_at=None),
        "form": form,
        "may_edit": has_role(request.user, MANAGER, DESIGNER),
    }
    return render(request, "inspections/manuals/manual_list.html", context, status=status)


@require_safe
@any_role
def manual_list(request: HttpRequest, code: str) -> HttpResponse:
    return _page(request, _part(code), ManualForm())


@require_POST
@role_required(MANAGER, DESIGNER)
def manual_new(request: HttpRequest, code: str) -> HttpResponse:
    part = _part(code)
    form = ManualForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            manual = actions.add_manual(part=part, by=request.user, **form.cleaned_data)
        except (actions.ManualError, AttachedError) as error:
            form.add_error("file", str(error))
        else:
            messages.success(request, f"Added {manual}.")
            return redirect("inspections:manual_list", code)
    return _page(request, part, form, 422)


@require_POST
@role_required(MANAGER, DESIGNER)
def manual_remove(request: HttpRequest, code: str, manual_id: int) -> HttpResponse:
    manual = get_object_or_404(Manual.objects.select_related("part"), pk=manual_id, part__code=code)
    try:
        actions.remove_manual(manual=manual, by=request.user)
    except actions.ManualError as error:  # the second of two clicks
        messages.info(request, str(error))
    return redirect("inspections:manual_list", code)


@require_safe
@any_role
@bay_page
def manual_file(request: HttpRequest, code: str, manual_id: int) -> HttpResponse:
    """The file as it came, to be kept and not to be run."""
    manual = get_object_or_404(Manual.objects.select_related("part"), pk=manual_id, part__code=code)
    path = attached_path(manual.sha256)
    if not path.is_file():
        raise Http404(f"The file of '{manual}' is missing; restore it from the backup.")
    return pdf_response(path, manual.file_name)
