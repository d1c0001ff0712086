"""Forms of service: a case, its findings, parts in and out, changes of the vehicle, campaigns."""

from typing import Any

from django import forms
from django.utils import timezone

from catalog.quantities import HOUR, QuantityField
from inspections.as_built.current import WHAT, ChangeError, checked
from inspections.service.models import Case, RemovalItem
from jobs.models import Unit


def _circuits(form: Any, unit: Unit) -> None:
    field = form.fields["circuit"]
    field.queryset = unit.job.circuits.all()
    field.label_from_instance = lambda circuit: f"{circuit.ref} {circuit.designation}"


class CaseForm(forms.ModelForm):
    class Meta:
        model = Case
        fields = ("symptom", "conditions", "on", "odometer_mi", "circuit")
        widgets = {"on": forms.DateInput(attrs={"type": "date"})}
        labels = {"odometer_mi": "Odometer (mi)", "circuit": "Circuit, if it is known"}

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _circuits(self, unit)
        self.fields["on"].initial = timezone.localdate
        self.fields["odometer_mi"].max_value = 999_999

    def clean_on(self) -> Any:
        on = self.cleaned_data["on"]
        if on > timezone.localdate():
            raise forms.ValidationError(f"Day {on} is in the future.")
        return on

    def clean_odometer_mi(self) -> Any:
        odometer = self.cleaned_data["odometer_mi"]
        if odometer is not None and odometer > 999_999:
            raise forms.ValidationError(f"Odometer is {odometer} mi; at most 999,999 mi.")
        return odometer


class FindingForm(forms.ModelForm):
    minutes = QuantityField(HOUR, label="Hours of work", most=200)
    travel_minutes = QuantityField(HOUR, label="Hours of travel", most=200)
    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)

    class Meta:
        model = Case
        fields = (
            "circuit", "found", "cause", "done", "minutes", "travel_minutes", "claim", "claim_note",
        )  # fmt: skip
        widgets = {
            "found": forms.Textarea(attrs={"rows": 3}),
            "done": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _circuits(self, self.instance.unit)
        self.fields["version"].initial = self.instance.version

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self._meta.fields or ()}


class SwapForm(forms.Form):
    line = forms.ModelChoiceField(queryset=None, label="Part")
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1, label="Pieces")
    serial_out = forms.CharField(label="Serial number out", max_length=120, required=False)
    serial_in = forms.CharField(label="Serial number in", max_length=120, required=False)
    note = forms.CharField(label="Remark", max_length=200, required=False)

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["line"]
        field.queryset = unit.job.lines.select_related("part__part")
        field.label_from_instance = lambda line: f"{line.ref} {line.part.description}"


class ChangeForm(forms.Form):
    circuit = forms.ModelChoiceField(queryset=None)
    what = forms.ChoiceField(label="What differs", choices=list(WHAT.items()))
    value = forms.CharField(label="As it is now", max_length=200)
    reason = forms.CharField(label="Why", max_length=250)

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        _circuits(self, unit)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("what") and data.get("value"):
            try:
                data["value"] = checked(data["what"], data["value"])
            except ChangeError as error:
                self.add_error("value", str(error))
        return data


class CampaignForm(forms.Form):
    """What went wrong elsewhere; at least one field."""

    part = forms.CharField(label="Part code", max_length=40, required=False)
    serial = forms.CharField(label="Serial number begins with", max_length=120, required=False)
    lot = forms.CharField(label="Lot", max_length=60, required=False)
    tool = forms.CharField(label="Crimp tool", max_length=60, required=False)
    day = forms.DateField(
        label="Crimped on", required=False, widget=forms.DateInput(attrs={"type": "date"})
    )
    logic = forms.CharField(label="Logic version on board", max_length=60, required=False)
    harness = forms.CharField(label="Harness revision", max_length=60, required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not any(data.values()):
            raise forms.ValidationError("Fill in at least one field; every field narrows.")
        return data


class BeginForm(forms.Form):
    reason = forms.CharField(label="Why it is taken out of service", max_length=200)


class ItemForm(forms.Form):
    """Agency equipment never offers reuse by us or scrap."""

    outcome = forms.ChoiceField(label="Where it goes")
    received_by = forms.CharField(label="Received by", max_length=120, required=False)
    note = forms.CharField(label="Condition", max_length=200, required=False)

    def __init__(self, *args: Any, item: RemovalItem, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ours = (RemovalItem.Outcome.REUSE, RemovalItem.Outcome.SCRAP)
        self.fields["outcome"].choices = [
            choice
            for choice in RemovalItem.Outcome.choices
            if choice[0] and not (item.agency_owned and choice[0] in ours)
        ]
        for name in self.fields:
            self.fields[name].initial = getattr(item, name)
