"""Forms about the finished vehicle: places, their photos and pins, origins."""

import re
from typing import Any

from django import forms
from django.utils import timezone

from inspections.as_built.models import Origin, Pin, Place
from jobs.models import Unit
from jobs.photos.forms import PhotosField

REF = re.compile(r"[A-Za-z0-9][A-Za-z0-9.-]*")


class PlaceForm(forms.ModelForm):
    class Meta:
        model = Place
        fields = ("kind", "ref", "name", "zone", "where", "hidden", "circuits", "note")
        widgets = {"circuits": forms.SelectMultiple(attrs={"size": 6})}
        help_texts = {"ref": "As on its label, for example G1, X4 or W2."}

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.unit = unit
        self.fields["circuits"].queryset = unit.job.circuits.all()
        self.fields["circuits"].label_from_instance = lambda c: f"{c.ref} {c.designation}"

    def clean_ref(self) -> str:
        ref = str(self.cleaned_data["ref"]).strip()
        if not REF.fullmatch(ref) or ref == "new":
            raise forms.ValidationError(f"{ref} cannot be; use letters, digits, dots and dashes.")
        if self.unit.places.filter(ref=ref).exists():
            raise forms.ValidationError(f"{ref} is on this unit already; choose another.")
        return ref


class PhotoForm(forms.Form):
    photos = PhotosField()
    caption = forms.CharField(label="What they show", max_length=160)
    for_customer = forms.BooleanField(label="Show on the customer's page", required=False)


class PinsForm(forms.Form):
    """A pin table typed or pasted: pin, circuit or dash, function, conductor."""

    table = forms.CharField(
        label="Pins, one a line: pin; circuit; function; conductor",
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text="For example: 3; A-02; Grille heads; 12 pink. A dash for no circuit.",
    )

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.circuits = {circuit.ref: circuit for circuit in unit.job.circuits.all()}

    def clean_table(self) -> list[dict[str, Any]]:
        rows: list[dict[str, Any]] = []
        lines = [line for line in self.cleaned_data["table"].splitlines() if line.strip()]
        for count, line in enumerate(lines, start=1):
            rows.append(self._row(count, [cell.strip() for cell in line.split(";")]))
            if rows[-1]["number"] in [row["number"] for row in rows[:-1]]:
                raise forms.ValidationError(f"Line {count}: pin {rows[-1]['number']} is twice.")
        return rows

    def _row(self, count: int, cells: list[str]) -> dict[str, Any]:
        if len(cells) not in (3, 4):
            raise forms.ValidationError(
                f"Line {count} has {len(cells)} parts; it must have 3 or 4, split by ;"
            )
        number, ref, function, conductor = [*cells, ""][:4]
        if ref not in ("", "-", "–") and ref not in self.circuits:
            raise forms.ValidationError(f"Line {count}: circuit {ref} is not on this job.")
        row = {
            "number": number,
            "circuit": self.circuits.get(ref),
            "function": function,
            "conductor": conductor,
        }
        for name in ("number", "function", "conductor"):
            most = Pin._meta.get_field(name).max_length
            if len(str(row[name])) > most:
                raise forms.ValidationError(
                    f"Line {count}: {name} has {len(str(row[name]))} letters; at most {most}."
                )
        if not number or not function:
            raise forms.ValidationError(f"Line {count} needs a pin and a function.")
        return row


class OriginForm(forms.ModelForm):
    class Meta:
        model = Origin
        fields = ("kind", "line", "value", "on", "note")
        widgets = {"on": forms.DateInput(attrs={"type": "date"})}
        labels = {"line": "Build line (for a lot)"}

    def __init__(self, *args: Any, unit: Unit, **kwargs: Any) -> None:
        # It stands beside the form of a place.
        super().__init__(*args, **{"auto_id": "id_origin_%s", **kwargs})
        self.fields["line"].queryset = unit.job.lines.select_related("part")
        self.fields["line"].label_from_instance = lambda one: f"{one.ref} {one.part.description}"
        self.fields["on"].initial = timezone.localdate

    def clean_on(self) -> Any:
        on = self.cleaned_data["on"]
        if on > timezone.localdate():
            raise forms.ValidationError(f"Day {on} is in the future.")
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("kind") == Origin.Kind.LOT and not data.get("line"):
            self.add_error("line", "A lot belongs to a part; choose its build line.")
        return data
