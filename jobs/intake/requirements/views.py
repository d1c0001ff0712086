"""What the agency needs: the list with its inline status, one requirement, copies."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.intake.errors import IntakeError
from jobs.intake.guard import StaleError
from jobs.intake.models import Job, Requirement
from jobs.intake.pages import conflict_page, first_rows, form_page, posted
from jobs.intake.requirements import actions
from jobs.intake.requirements.forms import (
    CopyForm,
    NewRequirementForm,
    RequirementForm,
    StatusForm,
)
from jobs.intake.sheet.views import get_job

PLACE = "jobs/intake/{}.html".format
STATUS_KEYS = {"open": "open", "assumed": "wait", "confirmed": "pass", "waived": "na"}
MOST_JOBS = 20


def _get(number: str, requirement: int) -> Requirement:
    rows = Requirement.objects.select_related("job__agency")
    return get_object_or_404(rows, job__number=number, number=requirement)


def _row(requirement: Requirement, form: StatusForm | None = None) -> dict[str, object]:
    return {
        "requirement": requirement,
        "key": STATUS_KEYS[requirement.status],
        "form": form or StatusForm(requirement=requirement),
    }


def _list(
    request: HttpRequest, job: Job, refused: tuple[Requirement, StatusForm] | None = None
) -> HttpResponse:
    """The whole list; with the refused form of one row, open and with its errors."""
    kept = {refused[0].pk: refused[1]} if refused else {}
    found = list(job.requirements.order_by("number"))
    unsettled = [row for row in found if row.status in ("open", "assumed")]
    context = {
        "job": job,
        "rows": [_row(row, kept.get(row.pk)) for row in found],
        "open_count": sum(row.status == Requirement.Status.OPEN for row in found),
        "assumed_count": sum(row.status == Requirement.Status.ASSUMED for row in found),
        "unsafe": [row for row in unsettled if row.drives_design],
        "may_add": has_role(request.user, MANAGER, DESIGNER),
        "may_edit": has_role(request.user, MANAGER),
    }
    return render(request, PLACE("requirement_list"), context, status=422 if refused else 200)


@any_role
@require_safe
def requirement_list(request: HttpRequest, number: str) -> HttpResponse:
    return _list(request, get_job(number))


@role_required(MANAGER, DESIGNER)
@require_http_methods(["GET", "HEAD", "POST"])
def requirement_new(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = NewRequirementForm(posted(request))
    if form.is_valid():
        added = actions.add_requirement(job=job, values=form.values(), by=request.user)
        messages.success(request, f"Added {added}.")
        if "another" in request.POST:
            return redirect("jobs:requirement_new", number)
        return redirect("jobs:requirement_list", number)
    return form_page(request, PLACE("requirement_new"), form, {"job": job})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def requirement_edit(request: HttpRequest, number: str, requirement: int) -> HttpResponse:
    row = _get(number, requirement)
    form = RequirementForm(posted(request), instance=row)
    context = {"job": row.job, "requirement": row}
    if form.is_valid():
        try:
            reopened = actions.change_requirement(
                requirement=row,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE("requirement_edit"), form, error, context)
        again = " Its words changed, so it is open again." if reopened else ""
        messages.success(request, f"Saved {row}.{again}")
        return _to_row(row)
    return form_page(request, PLACE("requirement_edit"), form, context)


@role_required(MANAGER, DESIGNER)
@require_POST
def requirement_status(request: HttpRequest, number: str, requirement: int) -> HttpResponse:
    """Open, assumed, confirmed or waived. Waiving needs the manager: it gives something up."""
    row = _get(number, requirement)
    form = StatusForm(request.POST, requirement=row)
    if form.is_valid():
        waives = form.cleaned_data["status"] == Requirement.Status.WAIVED
        if waives and not has_role(request.user, MANAGER):
            raise PermissionDenied("Waiving a requirement needs the role Office manager.")
        try:
            actions.set_status(requirement=row, by=request.user, **form.cleaned_data)
        except IntakeError as error:
            form.add_error(None, str(error))
        else:
            return _row_fragment(request, row) if request.htmx else _to_row(row)
    if request.htmx:
        return _row_fragment(request, row, form)
    return _list(request, row.job, (row, form))


def _to_row(row: Requirement) -> HttpResponse:
    return redirect(f"{reverse('jobs:requirement_list', args=[row.job.number])}#rq{row.number}")


def _row_fragment(
    request: HttpRequest, row: Requirement, form: StatusForm | None = None
) -> HttpResponse:
    context = {
        "job": row.job,
        "row": _row(row, form),
        "may_add": True,
        "may_edit": has_role(request.user, MANAGER),
    }
    status = 422 if form else 200
    response = render(request, "jobs/intake/_requirement_row.html", context, status=status)
    response["HX-Trigger"] = "requirements-changed"
    return response


@role_required(MANAGER, DESIGNER)
@require_http_methods(["GET", "HEAD", "POST"])
def requirement_copy(request: HttpRequest, number: str) -> HttpResponse:
    """First choose the earlier job, then which of its requirements. Both stand in the address."""
    job = get_job(number)
    wanted = request.GET.get("from", "").strip()
    source = (
        Job.objects.filter(number__iexact=wanted).exclude(pk=job.pk).first() if wanted else None
    )
    context = {"job": job, "wanted": wanted, "source": source}
    if source is None:
        jobs = Job.objects.filter(agency=job.agency).exclude(pk=job.pk).order_by("-id")
        context["jobs"], _ = first_rows(jobs.select_related("agency"), MOST_JOBS)
        status = 422 if wanted or request.method == "POST" else 200
        return render(request, PLACE("requirement_copy"), context, status=status)
    form = CopyForm(posted(request), source=source)
    if form.is_valid():
        count = actions.copy_requirements(
            job=job, requirements=form.cleaned_data["chosen"].select_related("job"), by=request.user
        )
        words = "1 requirement" if count == 1 else f"{count} requirements"
        messages.success(request, f"Copied {words} from {source.number} as open.")
        return redirect("jobs:requirement_list", number)
    return form_page(request, PLACE("requirement_copy"), form, context)
