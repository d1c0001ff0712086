"""Agencies: the list, one agency, its legal profile, its contacts."""

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import MANAGER, any_role, role_required
from jobs.intake.agencies import actions, legal
from jobs.intake.agencies.forms import AgencyForm, ContactForm, LegalForm
from jobs.intake.errors import IntakeError
from jobs.intake.filters import AgencyFilter
from jobs.intake.guard import StaleError
from jobs.intake.models import Agency, Contact, Job
from jobs.intake.pages import conflict_page, first_rows, form_page, posted

PLACE = "jobs/intake/{}.html".format
MOST_JOBS = 20
OVER = (Job.State.DELIVERED, Job.State.CANCELLED)


@any_role
@require_safe
def agency_list(request: HttpRequest) -> HttpResponse:
    form = AgencyFilter(request.GET)
    rows = form.rows() if form.is_valid() else Agency.objects.none()
    agencies, more = first_rows(rows)
    open_jobs = dict(
        Agency.objects.filter(pk__in=[agency.pk for agency in agencies])
        .annotate(open=Count("jobs", filter=~Q(jobs__state__in=OVER)))
        .values_list("pk", "open")
    )
    context = {
        "form": form,
        "agencies": [(agency, open_jobs[agency.pk]) for agency in agencies],
        "next_after": agencies[-1].name if more else "",
        "today": timezone.localdate(),
    }
    status = 200 if form.is_valid() else 422
    return render(request, PLACE("agency_list"), context, status=status)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def agency_new(request: HttpRequest) -> HttpResponse:
    form = AgencyForm(posted(request))
    if form.is_valid():
        try:
            agency = actions.add_agency(values=form.values(), by=request.user)
        except IntakeError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, f"Added {agency.name}. Add who decides there.")
            return redirect("jobs:agency_detail", agency.pk)
    return form_page(request, PLACE("agency_new"), form, {})


@any_role
@require_safe
def agency_detail(request: HttpRequest, agency_id: int) -> HttpResponse:
    agency = get_object_or_404(Agency, pk=agency_id)
    jobs, more_jobs = first_rows(agency.jobs.order_by("-id"), MOST_JOBS)
    expires = agency.certificate_expires_on
    context = {
        "agency": agency,
        "contacts": agency.contacts.all(),
        "jobs": jobs,
        "more_jobs": more_jobs,
        "colours": legal.COLOURS.values(),
        "zones": legal.matrix(agency.legal_profile),
        "tones": [legal.TONES.get(tone, tone) for tone in agency.legal_profile.get("tones", [])],
        "expired": bool(expires and expires < timezone.localdate()),
    }
    return render(request, PLACE("agency_detail"), context)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def agency_edit(request: HttpRequest, agency_id: int) -> HttpResponse:
    agency = get_object_or_404(Agency, pk=agency_id)
    return _edit_agency(
        request, agency, AgencyForm(posted(request), instance=agency), "agency_edit"
    )


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def agency_legal(request: HttpRequest, agency_id: int) -> HttpResponse:
    agency = get_object_or_404(Agency, pk=agency_id)
    return _edit_agency(
        request, agency, LegalForm(posted(request), instance=agency), "agency_legal"
    )


def _edit_agency(
    request: HttpRequest, agency: Agency, form: AgencyForm | LegalForm, page: str
) -> HttpResponse:
    context = {"agency": agency}
    if form.is_valid():
        try:
            actions.change_agency(
                agency=agency,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE(page), form, error, context)
        except IntakeError as error:
            form.add_error("name", str(error))
        else:
            messages.success(request, f"Saved {agency.name}.")
            return redirect("jobs:agency_detail", agency.pk)
    return form_page(request, PLACE(page), form, context)


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def contact_new(request: HttpRequest, agency_id: int) -> HttpResponse:
    agency = get_object_or_404(Agency, pk=agency_id)
    form = ContactForm(posted(request))
    if form.is_valid():
        contact = actions.add_contact(agency=agency, values=form.values(), by=request.user)
        messages.success(request, f"Added {contact.name}.")
        return redirect("jobs:agency_detail", agency.pk)
    return form_page(request, PLACE("contact_new"), form, {"agency": agency})


@role_required(MANAGER)
@require_http_methods(["GET", "HEAD", "POST"])
def contact_edit(request: HttpRequest, agency_id: int, contact_id: int) -> HttpResponse:
    contact = get_object_or_404(Contact, pk=contact_id, agency_id=agency_id)
    form = ContactForm(posted(request), instance=contact)
    context = {"agency": contact.agency, "contact": contact}
    if form.is_valid():
        try:
            actions.change_contact(
                contact=contact,
                version=form.cleaned_data["version"],
                values=form.values(),
                by=request.user,
            )
        except StaleError as error:
            return conflict_page(request, PLACE("contact_edit"), form, error, context)
        messages.success(request, f"Saved {contact.name}.")
        return redirect("jobs:agency_detail", agency_id)
    return form_page(request, PLACE("contact_edit"), form, context)


@role_required(MANAGER)
@require_POST
def contact_remove(request: HttpRequest, agency_id: int, contact_id: int) -> HttpResponse:
    contact = get_object_or_404(Contact, pk=contact_id, agency_id=agency_id)
    actions.remove_contact(contact=contact, by=request.user)
    messages.success(request, f"Removed {contact.name}.")
    return redirect("jobs:agency_detail", agency_id)
