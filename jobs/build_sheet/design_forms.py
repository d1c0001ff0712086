"""Forms about the design as a whole: duty of a mode, keeping a revision, accepting a finding."""

import json
from typing import Any

from django import forms

from jobs.build_sheet.models import Circuit, OperatingMode


class FreezeForm(forms.Form):
    note = forms.CharField(
        label="What changed in this design revision", widget=forms.Textarea(attrs={"rows": 3})
    )


class AcceptFindingForm(forms.Form):
    rule = forms.CharField(widget=forms.HiddenInput)
    subject = forms.CharField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Why it may stay, and who agreed", widget=forms.Textarea(attrs={"rows": 2})
    )


class DutyForm(forms.Form):
    """One percentage per circuit; empty means off."""

    def __init__(
        self, *args: Any, circuits: list[Circuit], mode: OperatingMode, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.circuits = circuits
        set_now = {duty.circuit_id: duty.permille for duty in mode.duties.all()}
        for circuit in circuits:
            permille = set_now.get(circuit.pk)
            self.fields[f"c{circuit.pk}"] = forms.DecimalField(
                label=f"{circuit.ref} {circuit.designation} (%)",
                min_value=0,
                max_value=100,
                decimal_places=1,
                required=False,
                initial=None if permille is None else permille / 10,
            )

    def duties(self) -> list[tuple[Circuit, int]]:
        """Circuits that are on, with their share in thousandths."""
        shares = [(circuit, self.cleaned_data[f"c{circuit.pk}"]) for circuit in self.circuits]
        return [(circuit, int(share * 10)) for circuit, share in shares if share]


LARGEST_LOGIC_BYTES = 2 * 1024 * 1024


class LogicForm(forms.Form):
    version = forms.RegexField(
        r"^[0-9][0-9A-Za-z.]{0,9}$",
        help_text="For example 1.3",
        error_messages={"invalid": "Begins with a digit; letters, digits and points, at most 10."},
    )
    note = forms.CharField(label="What changed", widget=forms.Textarea(attrs={"rows": 2}))
    file = forms.FileField(
        label="Logic file (JSON)",
        help_text="Signals, rules and interlocks; the fields are described in DEVELOPERS.md.",
        widget=forms.ClearableFileInput(attrs={"accept": "application/json,.json"}),
    )

    def clean_file(self) -> Any:
        """The file's content, read as JSON."""
        file = self.cleaned_data["file"]
        if file.size > LARGEST_LOGIC_BYTES:
            raise forms.ValidationError(
                f"{file.name} is {file.size / 1024 / 1024:.1f} MB; at most 2 MB."
            )
        try:
            data = json.loads(file.read().decode("utf-8-sig"))
        except (UnicodeDecodeError, json.JSONDecodeError, RecursionError) as error:
            raise forms.ValidationError(f"{file.name} is not JSON: {error}.") from None
        # Escapes may spell what no database and no page can hold.
        text = json.dumps(data, ensure_ascii=False)
        if "\\u0000" in text or any("\ud800" <= sign <= "\udfff" for sign in text):
            raise forms.ValidationError(f"{file.name} holds a character that is no text.")
        return data
