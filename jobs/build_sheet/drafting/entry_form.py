"""What the forms of all entries share."""

from typing import Any

from django import forms

from jobs.build_sheet.drafting.fields import Plain
from jobs.controls.logic import Logic

NAME_HELP = "Letters, digits and _; at most 40. Changing it here changes it everywhere."
MOST_WORDS = 1_000


def words(label: str, *, most: int = 200, help_text: str = "", required: bool = False) -> Any:
    return forms.CharField(label=label, max_length=most, help_text=help_text, required=required)


def long_words(label: str, help_text: str = "") -> Any:
    widget = forms.Textarea(attrs={"rows": 2})
    return forms.CharField(
        label=label, max_length=MOST_WORDS, required=False, help_text=help_text, widget=widget
    )


class EntryForm(forms.Form):
    """Empty fields are left out, so the document's own defaults hold."""

    expressions: tuple[str, ...] = ()

    def __init__(self, *args: Any, logic: Logic, **kwargs: Any) -> None:
        self.logic = logic
        super().__init__(*args, **kwargs)

    def entry(self) -> Plain:
        cleaned = self.cleaned_data
        return {name: cleaned[name] for name in self.fields if cleaned[name] not in (None, "", [])}
