"""The page of a fleet job: its units side by side."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from config.access import MANAGER, any_role, has_role, role_required
from jobs.build_sheet.views import job_or_404
from jobs.fleet import actions
from jobs.fleet.models import UnitDifference
from jobs.intake.fields import whole
from jobs.intake.models import Job, Unit
from jobs.stages.models import Stage

PLACE = "jobs/fleet/{}.html".format


class UnitsForm(forms.Form):
    prefix = forms.RegexField(
        r"^[A-Za-z0-9][A-Za-z0-9._-]*$", label="Letters in front", max_length=20, required=False,
        widget=forms.TextInput(attrs={"size": 8}), help_text="For example SR-.",
        error_messages={"invalid": "Letters, digits and . _ - only."},
    )  # fmt: skip
    first = whole("First number", least=1, most=99_999, initial=1)
    count = whole("How many units", least=1, most=100)


class DifferenceForm(forms.Form):
    unit = forms.ModelChoiceField(Unit.objects.none(), empty_label=None)
    line = forms.CharField(
        label="Build line", max_length=10, required=False,
        widget=forms.TextInput(attrs={"size": 8}),
    )  # fmt: skip
    text = forms.CharField(label="What is different", max_length=300)

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job = job
        field: Any = self.fields["unit"]
        field.queryset = job.units.all()

    def clean_line(self) -> str:
        line = str(self.cleaned_data["line"]).strip().upper()
        if line and not self.job.lines.filter(ref=line).exists():
            raise forms.ValidationError(f"There is no build line {line} on this job.")
        return line


@any_role
@require_safe
def fleet(request: HttpRequest, number: str) -> HttpResponse:
    return _page(request, job_or_404(number))


def _page(request: HttpRequest, job: Job, *, status: int = 200, **given: Any) -> HttpResponse:
    units = job.units.annotate(
        signed=Count("stages", filter=Q(stages__state=Stage.State.SIGNED), distinct=True),
        all_stages=Count("stages", distinct=True),
    ).prefetch_related("differences")
    context = {
        "job": job,
        "units": units,
        "units_form": UnitsForm(),
        "difference_form": DifferenceForm(job=job),
        "may_edit": has_role(request.user, MANAGER),
        **given,
    }
    return render(request, PLACE("fleet"), context, status=status)


@role_required(MANAGER)
@require_POST
def fleet_units(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    form = UnitsForm(request.POST)
    if not form.is_valid():
        return _page(request, job, units_form=form, status=422)
    try:
        made = actions.add_units(job=job, by=request.user, **form.cleaned_data)
    except actions.FleetError as error:
        form.add_error("first", str(error))
        return _page(request, job, units_form=form, status=422)
    messages.success(request, f"Added {len(made)} units, {made[0]} to {made[-1]}.")
    return redirect("jobs:fleet", number)


@role_required(MANAGER)
@require_POST
def fleet_difference(request: HttpRequest, number: str) -> HttpResponse:
    job = job_or_404(number)
    form = DifferenceForm(request.POST, job=job)
    if not form.is_valid():
        return _page(request, job, difference_form=form, status=422)
    actions.add_difference(by=request.user, **form.cleaned_data)
    return redirect("jobs:fleet", number)


@role_required(MANAGER)
@require_POST
def fleet_same(request: HttpRequest, number: str, difference: int) -> HttpResponse:
    row = get_object_or_404(UnitDifference, pk=difference, unit__job__number=number)
    actions.remove_difference(row=row, by=request.user)
    return redirect("jobs:fleet", number)
