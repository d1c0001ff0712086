"""Forms of the stages room."""

from typing import Any

from django import forms
from django.contrib.auth.models import User

from catalog.fields import RowsField
from config.access import TECHNICIAN
from jobs.stages.models import Stage


class StagePlanForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = Stage
        fields = ("people", "planned_start", "planned_end", "instructions")
        field_classes = {"people": RowsField}
        widgets = {
            "people": forms.CheckboxSelectMultiple,
            "planned_start": forms.DateInput(attrs={"type": "date"}),
            "planned_end": forms.DateInput(attrs={"type": "date"}),
            "instructions": forms.Textarea(attrs={"rows": 4}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = User.objects.filter(is_active=True, groups__name=TECHNICIAN).order_by("last_name")
        self.fields["people"].queryset = people
        self.fields["people"].label_from_instance = lambda user: user.get_full_name() or str(user)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        start, end = data.get("planned_start"), data.get("planned_end")
        if start and end and end < start:
            self.add_error("planned_end", f"Planned end {end} is before the planned start {start}.")
        return data


class HoldForm(forms.Form):
    note = forms.CharField(
        label="What you saw", required=False, widget=forms.Textarea(attrs={"rows": 2})
    )


class ReasonForm(forms.Form):
    reason = forms.CharField(label="Why", widget=forms.Textarea(attrs={"rows": 2}))


class FinishForm(forms.Form):
    note = forms.CharField(
        label="Anything the next person must know",
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
