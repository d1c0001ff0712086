"""The check screen's form: what was pressed, typed, measured with and photographed."""

import uuid
from typing import Any

from django import forms
from django.utils import timezone

from inspections.checklists.actions import Reading
from inspections.checklists.models import Check, Instrument
from jobs.photos.forms import PhotosField

PRESSED = (("pass", "Pass"), ("fail", "Fail"), ("na", "Does not apply"), ("note", "Note"))


class ResultForm(forms.Form):
    client_id = forms.UUIDField(widget=forms.HiddenInput)
    base_sequence = forms.IntegerField(widget=forms.HiddenInput, min_value=0, initial=0)
    check_version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, required=False)
    pressed = forms.ChoiceField(choices=PRESSED)
    value_typed = forms.CharField(
        label="Reading",
        max_length=40,
        required=False,
        widget=forms.TextInput(
            attrs={"inputmode": "decimal", "autocomplete": "off", "class": "reading"}
        ),
    )
    instrument = forms.ModelChoiceField(
        queryset=Instrument.objects.filter(retired=False),
        required=False,
        empty_label="Choose the instrument",
    )
    conditions = forms.CharField(
        max_length=200,
        required=False,
        help_text="For example: engine at high idle, battery 13.8 volts, 21 °C",
    )
    photos = PhotosField(
        required=False,
        camera=True,
        label="Photo",
        help_text="No faces, no screens, no radio keys in the picture.",
    )
    reason = forms.CharField(label="Note", required=False, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, check: Check, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if check.kind != Check.Kind.READING:
            for name in ("value_typed", "instrument", "conditions"):
                del self.fields[name]
        elif check.unit_of_measure:
            self.fields["value_typed"].label = f"Reading in {check.unit_of_measure}"
        for name in ("value_typed", "instrument"):
            if name in self.fields:  # asked for unless the check does not apply; no word needed
                self.fields[name].quiet = name != "instrument" or check.instrument_needed
        if "instrument" in self.fields:
            self.fields["instrument"].label_from_instance = instrument_words
        self.fields["photos"].quiet = check.photo_required

    def reading(self, *, device: str = "") -> Reading:
        data = self.cleaned_data
        return Reading(
            client_id=data["client_id"],
            pressed=data["pressed"],
            value_typed=data.get("value_typed", ""),
            reason=data["reason"],
            instrument=data.get("instrument"),
            conditions=data.get("conditions", ""),
            base_sequence=data["base_sequence"],
            check_version=data["check_version"],
            device=device,
        )


def instrument_words(instrument: Instrument) -> str:
    """The instrument with its calibration, so that nobody measures in vain."""
    due = instrument.calibration_due
    if due is None:
        return str(instrument)
    if due < timezone.localdate():
        return f"{instrument}: calibration overdue since {due:%-d %b %Y}, not valid"
    return f"{instrument}, calibration due {due:%-d %b %Y}"


class UndoForm(forms.Form):
    reason = forms.CharField(required=False, initial="Pressed by mistake")


def new_client_id() -> str:
    """The id of a tap: made once when the screen is shown, so that sending twice counts once."""
    return str(uuid.uuid4())
