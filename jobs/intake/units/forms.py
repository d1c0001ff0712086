"""The form of one unit: identity and ratings in trade units, checked against each other."""

from typing import Any

from django import forms
from django.urls import reverse_lazy

from catalog.quantities import (
    AMPERE,
    AMPERE_HOUR,
    INCH,
    MILLIAMPERE,
    POUND,
    QuantityField,
)
from jobs.intake import vin
from jobs.intake.guard import GuardedForm
from jobs.intake.models import Job, Unit
from jobs.intake.units.ratings import contradictions

HEAVIEST_LB = 200_000
# Words that are addresses already: /jobs/<number>/units/new/
TAKEN = {"new"}


def _pounds(label: str, **kwargs: Any) -> QuantityField:
    return QuantityField(POUND, label=label, least=1, most=HEAVIEST_LB, required=False, **kwargs)


def _amps(label: str, **kwargs: Any) -> QuantityField:
    return QuantityField(AMPERE, label=label, least=1, most=2_000, required=False, **kwargs)


def vin_input() -> forms.TextInput:
    """Checked while it is typed: the answer lands in #vin-says."""
    return forms.TextInput(
        attrs={
            "class": "mono",
            "size": 22,
            "autocomplete": "off",
            "autocapitalize": "characters",
            "spellcheck": "false",
            "hx-get": reverse_lazy("jobs:vin_check"),
            "hx-trigger": "input changed delay:100ms",
            "hx-target": "#vin-says",
        }
    )


class UnitForm(GuardedForm):
    vin = forms.CharField(
        label="VIN",
        max_length=40,
        required=False,
        widget=vin_input(),
        help_text="17 characters from the plate. Leave it empty until the vehicle is known.",
    )
    vin_reason = forms.CharField(
        label="Why a wrong check digit is kept",
        max_length=200,
        required=False,
        help_text="Only when the VIN fails its check, as many from outside North America do.",
    )
    wheelbase_mm = QuantityField(INCH, label="Wheelbase", least=40, most=400, required=False)
    gvwr_g = _pounds("GVWR", help_text="Gross vehicle weight rating from the door label.")
    gawr_front_g = _pounds("GAWR front")
    gawr_rear_g = _pounds("GAWR rear")
    received_front_g = _pounds("Front axle as received", help_text="Scale ticket, empty vehicle.")
    received_rear_g = _pounds("Rear axle as received")
    roof_limit_g = _pounds("Roof load limit")
    track_mm = QuantityField(
        INCH,
        label="Track width",
        least=30,
        most=120,
        required=False,
        help_text="Between the middles of the tyres; needed for side balance.",
    )
    seats = forms.IntegerField(label="Seating positions", min_value=1, max_value=60, required=False)
    scale_front_g = _pounds(
        "Front axle finished", help_text="Scale ticket of the finished vehicle, empty."
    )
    scale_rear_g = _pounds("Rear axle finished")
    alternator_rating_ma = _amps("Alternator rating")
    alternator_hot_idle_ma = _amps(
        "Alternator hot at idle",
        help_text="What it gives hot and idling. Unknown: leave empty, never type the rating.",
    )
    alternator_hot_high_idle_ma = _amps("Alternator hot at high idle")
    battery_mah = QuantityField(
        AMPERE_HOUR, label="Main battery", least=1, most=5_000, required=False
    )
    keyoff_baseline_ua = QuantityField(
        MILLIAMPERE,
        label="Key-off draw as received",
        most=10_000,
        required=False,
        help_text="Asleep, before any work: the finished vehicle is compared with it.",
    )

    class Meta:
        model = Unit
        fields = (
            "number",
            "vin",
            "vin_reason",
            "wheelbase_mm",
            "gvwr_g",
            "gawr_front_g",
            "gawr_rear_g",
            "received_front_g",
            "received_rear_g",
            "roof_limit_g",
            "track_mm",
            "seats",
            "used",
            "scale_front_g",
            "scale_rear_g",
            "alternator_rating_ma",
            "alternator_hot_idle_ma",
            "alternator_hot_high_idle_ma",
            "battery_mah",
            "keyoff_baseline_ua",
        )
        help_texts = {"number": "What the agency paints on it. Letters, digits and . _ - only."}

    number = forms.RegexField(
        r"^[A-Za-z0-9][A-Za-z0-9._-]*$",
        label="Unit number",
        max_length=30,
        widget=forms.TextInput(attrs={"class": "mono", "size": 14}),
        help_text=Meta.help_texts["number"],
        error_messages={"invalid": "Use letters, digits and . _ - only, first a letter or digit."},
    )
    IDENTITY = ("number", "vin", "vin_reason")
    WEIGHTS = (
        "wheelbase_mm",
        "gvwr_g",
        "gawr_front_g",
        "gawr_rear_g",
        "received_front_g",
        "received_rear_g",
        "roof_limit_g",
        "track_mm",
        "seats",
        "used",
        "scale_front_g",
        "scale_rear_g",
    )
    ELECTRICAL = (
        "alternator_rating_ma",
        "alternator_hot_idle_ma",
        "alternator_hot_high_idle_ma",
        "battery_mah",
        "keyoff_baseline_ua",
    )

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.job = job

    def _others(self) -> Any:
        return Unit.objects.filter(job=self.job).exclude(pk=self.instance.pk)

    def clean_number(self) -> str:
        number = str(self.cleaned_data["number"])
        if number.lower() in TAKEN:
            raise forms.ValidationError(f"{number!r} cannot be a unit number. Choose another.")
        if self._others().filter(number__iexact=number).exists():
            raise forms.ValidationError(f"Job {self.job.number} has a unit {number} already.")
        return number

    def clean_vin(self) -> str:
        typed = vin.tidy(self.cleaned_data["vin"])
        if not typed:
            return ""
        fault = vin.find_fault(typed)
        if fault:
            raise forms.ValidationError(fault)
        twin = self._others().filter(vin=typed).first()
        if twin:
            raise forms.ValidationError(f"VIN {typed} is unit {twin.number} of this job already.")
        return typed

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "vin" in data and "vin_reason" in data:
            self._check_digit(data)
        for field, sentence in contradictions(data):
            self.add_error(field, sentence)
        return data

    def _check_digit(self, data: dict[str, Any]) -> None:
        """A wrong digit is kept only with a reason; a right one needs none and keeps none."""
        sentence = vin.report(data["vin"]).digit_sentence if data["vin"] else ""
        if not sentence:
            data["vin_reason"] = ""
        elif not data["vin_reason"]:
            self.add_error("vin_reason", f"{sentence} To keep it all the same, write here why.")

    def group(self, names: tuple[str, ...]) -> list[forms.BoundField]:
        return [self[name] for name in names]

    @property
    def identity(self) -> list[forms.BoundField]:
        return self.group(self.IDENTITY)

    @property
    def weights(self) -> list[forms.BoundField]:
        return self.group(self.WEIGHTS)

    @property
    def electrical(self) -> list[forms.BoundField]:
        return self.group(self.ELECTRICAL)
