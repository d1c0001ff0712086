"""The page of a fleet job: its units side by side."""

from typing import Any

from django import forms
from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from catalog.fields import RowsField, TextField
from config.access import MANAGER, any_role, has_role, role_required
from jobs.build_sheet.models import BuildLine, UnitDifference
from jobs.build_sheet.views import job_or_404
from jobs.fleet import actions
from jobs.intake.fields import whole
from jobs.intake.models import Job, Unit
from jobs.stages.actions import DONE

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
    units = RowsField(Unit.objects.none(), widget=forms.CheckboxSelectMultiple)
    line = forms.ModelChoiceField(
        BuildLine.objects.none(), required=False, label="Build line",
        empty_label="None in particular",
    )  # fmt: skip
    pieces = whole("Pieces on these units", least=0, most=9_999, required=False)
    text = TextField(label="What is different, in words", most=300, required=False)

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        units, line, pieces = (self.fields[name] for name in ("units", "line", "pieces"))
        units.queryset = job.units.all()  # type: ignore[attr-defined]
        line.queryset = job.lines.select_related("part")  # type: ignore[attr-defined]
        line.label_from_instance = _line_words  # type: ignore[attr-defined]
        pieces.help_text = "0: not fitted there. Empty: the difference is in words only."

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        line, pieces = typed.get("line"), typed.get("pieces")
        if pieces is None:
            if not typed.get("text") and "pieces" not in self.errors:
                self.add_error("text", "Say how many pieces, or what is different in words.")
        elif line is None:
            self.add_error("line", f"Choose the line that the {pieces} pieces are of.")
        elif pieces >= line.quantity:
            self.add_error(
                "pieces",
                f"{pieces} of {line.ref}: the build sheet has {line.quantity} for every unit and "
                "one may have fewer. For more, raise the build sheet and lower the other units.",
            )
        return typed


def _line_words(line: BuildLine) -> str:
    return f"{line.ref}: {line.quantity} × {line.part.description}"


@any_role
@require_safe
def fleet(request: HttpRequest, number: str) -> HttpResponse:
    return _page(request, job_or_404(number))


def _page(request: HttpRequest, job: Job, *, status: int = 200, **given: Any) -> HttpResponse:
    units = job.units.annotate(
        done=Count("stages", filter=Q(stages__state__in=DONE), distinct=True),
        all_stages=Count("stages", distinct=True),
    ).prefetch_related("differences__line")
    context = {
        "job": job,
        "units": units,
        "first": job.units.order_by("id").first(),
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
    try:
        actions.add_difference(by=request.user, **form.cleaned_data)
    except actions.FleetError as error:
        form.add_error("units", str(error))
        return _page(request, job, difference_form=form, status=422)
    messages.success(request, "Kept. Parts, hours, pick list, checks and packet follow it.")
    return redirect("jobs:fleet", number)


@role_required(MANAGER)
@require_POST
def fleet_same(request: HttpRequest, number: str, difference: int) -> HttpResponse:
    rows = UnitDifference.objects.select_related("unit__job", "line")
    row = get_object_or_404(rows, pk=difference, unit__job__number=number)
    try:
        actions.remove_difference(row=row, by=request.user)
    except actions.FleetError as error:
        messages.error(request, str(error))
    return redirect("jobs:fleet", number)
