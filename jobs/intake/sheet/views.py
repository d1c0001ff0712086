"""Jobs: the list, a new one, the job sheet, changing and cancelling, the history."""

from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, role_required, roles_of
from jobs.audit.models import AuditEvent
from jobs.intake import links
from jobs.intake.errors import IntakeError
from jobs.intake.fields import agency_names as names_like
from jobs.intake.filters import OVER, HistoryFilter, JobFilter
from jobs.intake.guard import StaleError
from jobs.intake.models import CustomerLink, Job, Requirement, Unit
from jobs.intake.pages import conflict_page, first_rows, form_page, posted
from jobs.intake.sheet import actions
from jobs.intake.sheet.forms import JobForm, JobNewForm, ReasonForm
from jobs.intake.sheet.rows import job_rows
from jobs.intake.spine import blockers, next_action, spine

PLACE = "jobs/intake/{}.html".format
LAST_EVENTS = 10


def get_job(number: str) -> Job:
    return get_object_or_404(Job.objects.select_related("agency"), number=number)


@any_role
@require_safe
def job_list(request: HttpRequest) -> HttpResponse:
    form = JobFilter(request.GET)
    rows = form.rows() if form.is_valid() else Job.objects.none()
    units = Prefetch("units", Unit.objects.only("job_id", "number").order_by("job", "id"))
    jobs, more = first_rows(rows.prefetch_related(units))
    context = {
        "form": form,
        "rows": job_rows(jobs, roles_of(request.user)),
        "next_after": JobFilter.cursor(jobs[-1]) if more else "",
        "today": timezone.localdate(),
        "filtered": any(request.GET.get(name) for name in ("q", "state", "agency", "after")),
        "only_agency": form.cleaned_data.get("agency") if form.is_valid() else None,
    }
    return render(request, PLACE("job_list"), context, status=200 if form.is_valid() else 422)


@any_role
@require_safe
def agency_names(request: HttpRequest) -> HttpResponse:
    """Names that fit what is being typed, as options for the list behind the input."""
    text = request.GET.get("agency_name", request.GET.get("agency", ""))[:160]
    names = names_like(text.strip())
    return render(request, "jobs/intake/_agency_names.html", {"names": names})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def job_new(request: HttpRequest) -> HttpResponse:
    form = JobNewForm(posted(request), initial=_known(request))
    if form.is_valid():
        typed = {**form.cleaned_data}
        del typed["new_agency"], typed["same_title_is_meant"]
        try:
            job = actions.start_job(**typed, by=request.user)
        except IntakeError as error:
            form.add_error("agency_name", str(error))
        else:
            messages.success(request, f"Started job {job.number}.")
            return redirect("jobs:job_detail", job.number)
    return form_page(request, PLACE("job_new"), form, {"names": names_like("")})


def _known(request: HttpRequest) -> dict[str, str]:
    """What the page one came from knows already: the agency, or the job to copy from."""
    return {
        "agency_name": request.GET.get("agency", "")[:160],
        "copy_from": request.GET.get("copy", "")[:20],
    }


@any_role
@require_safe
def job_detail(request: HttpRequest, number: str) -> HttpResponse:
    """The job sheet: where it stands, what blocks it, what I do next."""
    job = get_job(number)
    steps = spine(job)
    statuses = list(job.requirements.values_list("status", flat=True))
    context = {
        "job": job,
        "steps": steps,
        "blockers": blockers(steps),
        "next": next_action(steps, roles_of(request.user)),
        "open_count": statuses.count(Requirement.Status.OPEN),
        "assumed_count": statuses.count(Requirement.Status.ASSUMED),
        "units": job.units.all(),
        "contacts": job.agency.contacts.all(),
        "events": AuditEvent.objects.filter(job=job.number).order_by("-id")[:LAST_EVENTS],
        "days_left": (job.promised_on - timezone.localdate()).days if job.promised_on else None,
        "is_over": job.state in OVER,
        "may_cancel": job.state in actions.CANCELLABLE,
    }
    return render(request, PLACE("job_detail"), context)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def job_edit(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = JobForm(posted(request), instance=job)
    context = {"job": job, "names": names_like("")}
    if form.is_valid():
        try:
            actions.change_job(
                job=job,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE("job_edit"), form, error, context)
        messages.success(request, f"Saved job {job.number}.")
        return redirect("jobs:job_detail", job.number)
    return form_page(request, PLACE("job_edit"), form, context)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def job_cancel(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = ReasonForm(posted(request))
    if form.is_valid():
        try:
            actions.cancel_job(job=job, reason=form.cleaned_data["reason"], by=request.user)
            messages.success(request, f"Job {job.number} is cancelled.")
        except IntakeError as error:
            messages.error(request, str(error))
        return redirect("jobs:job_detail", job.number)
    return form_page(request, PLACE("job_cancel"), form, {"job": job})


@any_role
@require_safe
def job_history(request: HttpRequest, number: str) -> HttpResponse:
    job = get_job(number)
    form = HistoryFilter(request.GET)
    rows = form.rows(job.number) if form.is_valid() else AuditEvent.objects.none()
    events, more = first_rows(rows)
    context = {
        "job": job,
        "form": form,
        "events": events,
        "next_after": events[-1].pk if more else "",
        "filtered": any(request.GET.values()),
    }
    return render(request, PLACE("job_history"), context, status=200 if form.is_valid() else 422)


@role_required(MANAGER)
@require_safe
def link_list(request: HttpRequest, number: str) -> HttpResponse:
    """Every link the agency got for this job, and whether it still opens something."""
    job = get_job(number)
    valid = set(links.valid_links().filter(job=job).values_list("pk", flat=True))
    rows = [(link, link.pk in valid) for link in job.links.all()]
    return render(request, PLACE("link_list"), {"job": job, "rows": rows})


@role_required(MANAGER)
@require_POST
def link_revoke(request: HttpRequest, number: str, link_id: int) -> HttpResponse:
    link = get_object_or_404(CustomerLink, pk=link_id, job__number=number)
    try:
        links.revoke_link(link=link, by=request.user)
        messages.success(request, "The link opens nothing any more.")
    except links.LinkGoneError as error:
        messages.error(request, str(error))
    return redirect("jobs:link_list", number)
