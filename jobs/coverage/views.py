"""Pages: what satisfies each requirement, the intake list, the intake sheet for print."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet.views import job_or_404
from jobs.coverage import actions
from jobs.coverage.models import RequirementLink
from jobs.coverage.standing import coverage, existing
from jobs.coverage.templates import kinds, questions
from jobs.intake.agencies.legal import COLOURS, TONES, matrix
from jobs.intake.models import Job, Requirement
from jobs.intake.pages import form_page, posted

PLACE = "jobs/coverage/{}.html".format
EDIT = ["GET", "HEAD", "POST"]


class LinkForm(forms.Form):
    requirement = forms.ModelChoiceField(Requirement.objects.none(), empty_label=None)
    kind = forms.ChoiceField(label="Satisfied by", choices=RequirementLink.Kind.choices)
    ref = forms.CharField(
        label="Which", max_length=100, help_text="For example L01, A-03 or R17.",
        widget=forms.TextInput(attrs={"size": 12, "list": "refs", "autocomplete": "off"}),
    )  # fmt: skip

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job = job
        self.there = existing(job)
        field: Any = self.fields["requirement"]
        field.queryset = job.requirements.order_by("number")
        field.label_from_instance = lambda row: f"{row}: {row.text[:70]}"

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        kind, ref = typed.get("kind"), typed.get("ref", "").strip()
        if kind and ref:
            known = {one.upper(): one for one in self.there[kind]}
            if ref.upper() not in known:
                word = RequirementLink.Kind(kind).label.lower()
                self.add_error("ref", f"There is no {word} {ref} on job {self.job.number}.")
            else:
                typed["ref"] = known[ref.upper()]
        return typed


@any_role
@require_http_methods(["GET", "HEAD"])
def requirement_coverage(request: HttpRequest, number: str) -> HttpResponse:
    return _page(request, job_or_404(number))


def _page(
    request: HttpRequest, job: Job, form: LinkForm | None = None, status: int = 200
) -> HttpResponse:
    rows = coverage(job)
    form = form or LinkForm(job=job)
    context = {
        "job": job,
        "rows": rows,
        "gaps": sum(1 for row in rows if row.gaps),
        "form": form,
        "refs": sorted(ref for refs in form.there.values() for ref in refs),
        "may_edit": has_role(request.user, MANAGER, DESIGNER),
    }
    return render(request, PLACE("requirement_coverage"), context, status=status)


@role_required(MANAGER, DESIGNER)
@require_POST
def requirement_link(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    form = LinkForm(request.POST, job=job)
    if not form.is_valid():
        return _page(request, job, form, 422)
    actions.link_requirement(by=request.user, **form.cleaned_data)
    return redirect("jobs:requirement_coverage", number)


@role_required(MANAGER, DESIGNER)
@require_POST
def requirement_unlink(request: HttpRequest, number: str, link: int) -> HttpResponse:
    row = get_object_or_404(RequirementLink, pk=link, requirement__job__number=number)
    actions.unlink_requirement(link=row, by=request.user)
    return redirect("jobs:requirement_coverage", number)


class QuestionsForm(forms.Form):
    chosen = forms.MultipleChoiceField(
        label="Questions", widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one question."},
    )  # fmt: skip

    def __init__(self, *args: Any, asked: list[dict[str, Any]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asked = asked
        field: Any = self.fields["chosen"]
        field.choices = [(str(i), f"{one['group']}: {one['text']}") for i, one in enumerate(asked)]
        field.initial = [str(i) for i in range(len(asked))]

    def questions(self) -> list[dict[str, Any]]:
        return [self.asked[int(place)] for place in self.cleaned_data["chosen"]]


@role_required(MANAGER, DESIGNER)
@require_http_methods(EDIT)
def requirement_template(request: HttpRequest, number: str) -> HttpResponse:
    """The intake list of one kind of vehicle; what is ticked becomes an open question."""
    job = job_or_404(number)
    kind = request.GET.get("kind", "")
    if kind not in kinds():
        return render(request, PLACE("requirement_template"), {"job": job, "kinds": kinds()})
    form = QuestionsForm(posted(request), asked=questions(kind))
    if form.is_valid():
        count = actions.ask_questions(job=job, questions=form.questions(), by=request.user)
        messages.success(request, f"{count} open questions added from the list {kind}.")
        return redirect("jobs:requirement_list", number)
    context = {"job": job, "kinds": kinds(), "kind": kind}
    return form_page(request, PLACE("requirement_template"), form, context)


@any_role
@require_safe
def intake_sheet(request: HttpRequest, number: str) -> HttpResponse:
    """Everything known about a job before it is built, on one page that prints well."""
    job = job_or_404(number)
    rows = list(job.requirements.order_by("number"))
    profile = job.agency.legal_profile
    tones = [word for key, word in TONES.items() if key in profile.get("tones", [])]
    context = {
        "job": job,
        "open": [row for row in rows if row.status == Requirement.Status.OPEN],
        "requirements": rows,
        "units": job.units.all(),
        "furnished": job.furnished_items.all(),
        "contacts": job.agency.contacts.all(),
        "colours": COLOURS.values(),
        "matrix": matrix(profile) if profile else [],
        "tones": tones,
        "today": timezone.localdate(),
    }
    return render(request, PLACE("intake_sheet"), context)
