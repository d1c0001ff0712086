"""Forms of the check-in: what is read off the vehicle, photos, who hands over."""

from typing import Any

from django import forms

from jobs.intake import vin
from jobs.intake.arrival.models import ConditionPhoto
from jobs.intake.fields import long_text, whole
from jobs.intake.guard import GuardedForm
from jobs.intake.models import Unit
from jobs.photos.forms import PhotosField

PLATE_TAIL = 8


class ReadingsForm(GuardedForm):
    """The plate is read anew at the vehicle and compared with what the office wrote down."""

    plate = forms.CharField(
        label="VIN from the plate",
        max_length=40,
        widget=forms.TextInput(
            attrs={
                "class": "mono",
                "size": 20,
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
            }
        ),
    )
    odometer_mi = whole("Odometer (mi)", most=2_000_000)
    keys = whole("Keys handed over", most=20)
    fuel_percent = whole("Fuel or charge (%)", most=100)
    condition = forms.CharField(
        label="Damage and anything missing",
        max_length=4000,
        required=False,
        widget=long_text(4),
        help_text="Dents, scratches, stains, fault lamps. Empty means: nothing found.",
    )

    field_order = ("plate", "odometer_mi", "keys", "fuel_percent", "condition")

    class Meta:
        model = Unit
        fields = ("odometer_mi", "keys", "fuel_percent", "condition")

    def __init__(self, *args: Any, instance: Unit, **kwargs: Any) -> None:
        super().__init__(*args, instance=instance, **kwargs)
        plate = self.fields["plate"]
        if instance.vin:
            plate.help_text = (
                f"The last {PLATE_TAIL} characters are enough. Read them, do not copy the paper."
            )
        else:
            plate.help_text = "The office has no VIN yet: all 17 characters."
        if instance.odometer_mi is not None:
            plate.initial = instance.vin[-PLATE_TAIL:]

    def clean_plate(self) -> str:
        """The whole VIN: the known one when its tail fits, else the one just read."""
        typed, known = vin.tidy(self.cleaned_data["plate"]), self.instance.vin
        if known and len(typed) < PLATE_TAIL:
            raise forms.ValidationError(
                f"{typed} has {len(typed)} characters; type at least the last {PLATE_TAIL}."
            )
        if known and not known.endswith(typed):
            raise forms.ValidationError(
                f"The plate reads {typed}; the office wrote {known[-len(typed) :]}. "
                "Read it once more. If the plate is right, ask the office to correct the unit."
            )
        return known or self._new_vin(typed)

    def _new_vin(self, typed: str) -> str:
        report = vin.report(typed)
        if report.fault:
            raise forms.ValidationError(report.fault)
        if not report.is_right:
            raise forms.ValidationError(
                f"{report.digit_sentence} If it is right, ask the office to enter it with a reason."
            )
        twin = Unit.objects.filter(job=self.instance.job, vin=typed).first()
        if twin:
            raise forms.ValidationError(f"VIN {typed} is unit {twin.number} of this job already.")
        return typed

    def values(self) -> dict[str, Any]:
        return {**super().values(), "vin": self.cleaned_data["plate"]}


class ViewPhotosForm(forms.Form):
    """Photos of one view of the walk."""

    view = forms.ChoiceField(choices=ConditionPhoto.VIEWS, widget=forms.HiddenInput)
    photos = PhotosField(camera=True)
    note = forms.CharField(max_length=200, required=False)


class AcceptForm(forms.Form):
    handed_over_by = forms.CharField(
        label="Handed over by",
        max_length=120,
        help_text="First and last name of the person who brought the vehicle.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, accepted_by: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.accepted_by = accepted_by

    def clean_handed_over_by(self) -> str:
        name = " ".join(self.cleaned_data["handed_over_by"].split())
        if name.casefold() == self.accepted_by.casefold():
            raise forms.ValidationError(
                f"{name} accepts the vehicle; somebody else must hand it over."
            )
        return name
