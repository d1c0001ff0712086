"""One event as a tablet sends it, checked like any other form: bad input becomes a sentence."""

import re
from datetime import UTC, datetime
from typing import Any

from django import forms

from inspections.sync.models import DeviceEvent

MOST_PHOTOS = 10
LARGEST_NUMBER = 2**53 - 1
YEAR_2100_MS = 4_102_444_800_000
SHA256 = re.compile(r"[0-9a-f]{64}")
ON_CHECKS = ("result", "void", "note")


class Words(forms.CharField):
    """Text from a device. Half a character (a lone surrogate) cannot be stored: it becomes “?”."""

    def __init__(self, max_length: int, **kwargs: Any) -> None:
        super().__init__(max_length=max_length, required=False, **kwargs)

    def to_python(self, value: Any) -> str:
        return str(super().to_python(value)).encode("utf-8", "replace").decode()


class Photos(forms.Field):
    def to_python(self, value: Any) -> list[str]:
        found = value or []
        good = isinstance(found, list) and all(
            isinstance(one, str) and SHA256.fullmatch(one) for one in found
        )
        if not good:
            raise forms.ValidationError("Photos are named by their SHA-256.")
        if len(found) > MOST_PHOTOS:
            raise forms.ValidationError(f"{len(found)} photos; at most {MOST_PHOTOS}.")
        return sorted(set(found))


class EventForm(forms.Form):
    id = forms.UUIDField()
    device = forms.UUIDField()
    number = forms.IntegerField(min_value=1, max_value=LARGEST_NUMBER)
    person = forms.IntegerField(min_value=1, max_value=LARGEST_NUMBER)
    kind = forms.ChoiceField(choices=DeviceEvent.Kind.choices)
    at_device = forms.IntegerField(min_value=0, max_value=YEAR_2100_MS)
    job = Words(30)
    unit = Words(30)
    check = Words(20)
    stage = Words(10)
    check_version = forms.IntegerField(min_value=1, max_value=32_767, required=False)
    base_sequence = forms.IntegerField(min_value=0, max_value=2**31 - 1, required=False)
    pressed = Words(8)
    value_typed = Words(40)
    instrument = forms.IntegerField(min_value=1, max_value=LARGEST_NUMBER, required=False)
    conditions = Words(200)
    reason = Words(2000)
    of = forms.UUIDField(required=False)
    photos = Photos(required=False)

    def clean(self) -> dict[str, Any]:
        found: dict[str, Any] = super().clean() or {}
        kind = found.get("kind")
        if kind in ON_CHECKS and not found.get("check"):
            raise forms.ValidationError("The entry does not say which check it is about.")
        if kind in ("work_start", "work_stop") and not found.get("stage"):
            raise forms.ValidationError("The entry does not say which stage it is about.")
        if kind in ("void", "set_aside") and not found.get("of"):
            raise forms.ValidationError("The entry does not say which other entry it is about.")
        return found

    def body(self) -> dict[str, Any]:
        """The cleaned event in plain JSON types."""
        data = dict(self.cleaned_data)
        for name in ("id", "device", "of"):
            data[name] = str(data[name]) if data[name] else ""
        return data

    def subject(self) -> str:
        data = self.cleaned_data
        return "/".join((data["job"], data["unit"], data["check"] or data["stage"]))

    def moment(self) -> datetime:
        return datetime.fromtimestamp(self.cleaned_data["at_device"] / 1000, UTC)

    def sentence(self) -> str:
        """Everything that is wrong with the event, field by field."""
        return " ".join(
            str(error) if name == "__all__" else f"{name}: {error}"
            for name, errors in self.errors.items()
            for error in errors
        )[:500]
