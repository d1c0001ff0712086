"""The form that starts a draft."""

from typing import Any

from django import forms

from jobs.build_sheet.models import ControlLogic
from jobs.intake.models import Job


class VersionChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        state = "released" if obj.is_released else "draft"
        return f"{obj.version}, {state}: {obj.note}"[:100]


class StartForm(forms.Form):
    version = forms.RegexField(
        r"^[0-9][0-9A-Za-z.]{0,9}$",
        help_text="For example 1.4. Begins with a digit.",
        error_messages={"invalid": "Begins with a digit; letters, digits and points, at most 10."},
    )
    base = VersionChoice(
        ControlLogic.objects.none(),
        label="Copy of",
        required=False,
        empty_label="Nothing: start with an empty logic",
    )
    note = forms.CharField(
        label="What will change", max_length=1000, widget=forms.Textarea(attrs={"rows": 2})
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        versions = job.logic_versions.order_by("-id")
        self.fields["base"].queryset = versions  # type: ignore[attr-defined]
        self.fields["base"].initial = versions.first()
