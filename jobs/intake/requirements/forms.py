"""Forms of the requirement list and of agency-owned equipment."""

from typing import Any

from django import forms
from django.utils import timezone

from catalog.fields import RowsField
from jobs.intake.fields import DayField, long_text, whole
from jobs.intake.guard import GuardedForm
from jobs.intake.models import FurnishedItem, Job, Requirement
from jobs.intake.requirements.actions import SETTLED

Status = Requirement.Status


class RequirementForm(GuardedForm):
    class Meta:
        model = Requirement
        fields = ("text", "source", "must", "drives_design", "note")
        labels = {"text": "What the agency needs"}
        help_texts = {
            "text": "One thing that can be shown on the finished vehicle.",
            "source": "Name, and document with page or call with date.",
            "drives_design": "A weight, current, height or time that the design counts with.",
        }
        widgets = {"text": long_text(), "note": long_text(2)}


class NewRequirementForm(RequirementForm):
    assumed = forms.BooleanField(
        label="Assumed for now",
        required=False,
        help_text="Nobody has said so yet; we go on with it until somebody does.",
    )
    field_order = ("text", "source", "must", "drives_design", "assumed", "note")

    def values(self) -> dict[str, Any]:
        status = Status.ASSUMED if self.cleaned_data["assumed"] else Status.OPEN
        return {**super().values(), "status": status}


class StatusForm(forms.Form):
    """From the status the person saw to another one. Settled ones name who said so, and when."""

    old = forms.ChoiceField(choices=Status.choices, widget=forms.HiddenInput)
    status = forms.ChoiceField(choices=Status.choices)
    settled_by = forms.CharField(
        label="Who confirmed or waived it",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"size": 24}),
    )
    settled_on = DayField(label="On", required=False, past=True)
    note = forms.CharField(
        max_length=400, required=False, widget=forms.TextInput(attrs={"size": 32})
    )

    def __init__(self, *args: Any, requirement: Requirement, **kwargs: Any) -> None:
        initial = {
            "old": requirement.status,
            "status": requirement.status,
            "settled_by": requirement.settled_by,
            "settled_on": requirement.settled_on or timezone.localdate(),
            "note": requirement.note,
        }
        prefix_id = f"rq{requirement.number}_%s"
        super().__init__(*args, initial=initial, auto_id=prefix_id, **kwargs)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        status = data.get("status")
        if status in SETTLED:
            word = Status(status).label.lower()
            if not data.get("settled_by"):
                self.add_error("settled_by", f"A {word} requirement names who said so.")
            if not data.get("settled_on") and "settled_on" not in self.errors:
                self.add_error("settled_on", f"A {word} requirement names the day.")
        return data


class CopyForm(forms.Form):
    """Which requirements of an earlier job to copy."""

    chosen = RowsField(
        Requirement.objects.none(),
        label="Requirements to copy",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one requirement."},
    )

    def __init__(self, *args: Any, source: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rows = source.requirements.order_by("number")
        chosen: Any = self.fields["chosen"]
        chosen.queryset = rows
        chosen.label_from_instance = lambda row: f"{row}: {row.text}"
        chosen.initial = [row.pk for row in rows if row.status != Status.WAIVED]


class FurnishedForm(GuardedForm):
    quantity = whole("Quantity", least=1, most=999, initial=1)
    expected_on = DayField(label="Expected on", required=False)
    needed_for_stage = forms.RegexField(
        r"^[A-Z0-9][A-Z0-9._-]*$",
        label="Holds stage",
        max_length=10,
        required=False,
        widget=forms.TextInput(attrs={"class": "mono", "size": 8}),
        help_text="The stage that cannot start before it is here, for example S7.",
        error_messages={"invalid": "Type the code of one stage in capitals, for example S7."},
    )

    class Meta:
        model = FurnishedItem
        fields = ("description", "quantity", "expected_on", "needed_for_stage")
        help_texts = {"description": "What the agency brings, with its model."}


class ReceiveForm(forms.Form):
    """An agency-owned item as it came in."""

    arrived_on = DayField(label="Arrived on", past=True)
    received_by = forms.CharField(label="Received by", max_length=120)
    serial = forms.CharField(
        label="Serial numbers",
        max_length=120,
        required=False,
        widget=forms.TextInput(attrs={"class": "mono"}),
    )
    condition = forms.CharField(
        max_length=200, help_text="New in box, used and working, damaged: what you see."
    )
    cables_included = forms.BooleanField(label="Power and data cables are with it", required=False)


class WaiveForm(forms.Form):
    waived_reason = forms.CharField(
        label="Why the work goes on without it", max_length=200, widget=long_text(2)
    )
