"""The form of one decision: which answer stands, and why."""

from typing import Any

from django import forms

from inspections.decisions.conflicts import Conflict

NONE = "none"


class DecideForm(forms.Form):
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2_000_000_000)
    keeps = forms.ChoiceField(label="What stands", widget=forms.RadioSelect)
    reason = forms.CharField(label="Why", max_length=1000, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, conflict: Conflict, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.answers = {str(result.sequence): result for result in conflict.answers}
        unit = conflict.check.unit_of_measure
        self.fields["keeps"].choices = [
            *((key, _words(result, unit)) for key, result in self.answers.items()),
            (NONE, "None of them: check again"),
        ]
        self.fields["seen"].initial = conflict.seen

    @property
    def kept(self) -> Any:
        """The chosen result, or None for checking again."""
        return self.answers.get(self.cleaned_data["keeps"])


def _words(result: Any, unit: str) -> str:
    value = f" {result.value.normalize():f} {unit}" if result.value is not None else ""
    name = result.person.get_full_name() or result.person.username
    return f"Entry {result.sequence}: {result.get_verdict_display()}{value}, {name}"
