"""Forms about the design as a whole: duty of a mode, keeping a revision, accepting a finding."""

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
