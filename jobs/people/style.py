"""Pages that show every part of the design in every state, for those who build or change pages."""

from types import SimpleNamespace

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalog.quantities import AMPERE, QuantityField
from config.access import any_role

STATUSES = [
    ("pass", "Pass"),
    ("fail", "Fail"),
    ("na", "Does not apply"),
    ("open", "Not checked"),
    ("decision", "Needs decision"),
    ("again", "Check again"),
    ("wait", "Cannot start yet"),
    ("info", "In work"),
]
NOTICES = [
    ("ok", "Saved circuit C07."),
    ("bad", "The quote was not offered. Line 4 has no price."),
    ("wait", "Two requirements are still open."),
    ("info", "Revision C replaces revision B."),
]
SAMPLE_JOB = SimpleNamespace(
    number="J-0042",
    title="Two rescue vans",
    agency=SimpleNamespace(name="County of Example, Fleet Services"),
    get_state_display="In work",
)
SAMPLE_UNIT = SimpleNamespace(number="R-12", vin="1XXAA00A0AA000042")


class SampleForm(forms.Form):
    """One field of each kind."""

    name = forms.CharField(label="Name", help_text="As it stands on the drawing.")
    rating = QuantityField(AMPERE, label="Fuse rating", least=1, most=500)
    note = forms.CharField(label="Note", required=False, widget=forms.Textarea(attrs={"rows": 3}))
    zone = forms.ChoiceField(label="Zone", choices=[("roof", "Roof"), ("cab", "Cab")])
    side = forms.ChoiceField(
        label="Side", choices=[("l", "Left"), ("r", "Right")], widget=forms.RadioSelect
    )
    colours = forms.MultipleChoiceField(
        label="Colours",
        choices=[("r", "Red"), ("b", "Blue"), ("w", "White")],
        widget=forms.CheckboxSelectMultiple,
        help_text="All that the lamp can show.",
    )
    due = forms.DateField(label="Due", widget=forms.DateInput(attrs={"type": "date"}))
    sheet = forms.FileField(label="Data sheet", required=False)
    critical = forms.BooleanField(label="Critical", required=False, help_text="Holds the release.")


@any_role
@require_safe
def style_sheet(request: HttpRequest) -> HttpResponse:
    wrong = {"rating": "900", "colours": ["r"], "due": "yesterday"}
    context = {
        "statuses": STATUSES,
        "notices": NOTICES,
        "job": SAMPLE_JOB,
        "unit": SAMPLE_UNIT,
        "fresh": SampleForm(prefix="fresh", initial={"rating": 15_000}),
        "refused": SampleForm(wrong, auto_id="refused_%s"),
    }
    return render(request, "jobs/people/style_sheet.html", context)


@any_role
@require_safe
def style_bay(request: HttpRequest) -> HttpResponse:
    context = {"statuses": STATUSES, "job": SAMPLE_JOB, "unit": SAMPLE_UNIT}
    return render(request, "jobs/people/style_bay.html", context)
