"""Form fields that several forms of this slice share."""

from datetime import date
from typing import Any

from django import forms
from django.core.validators import validate_email
from django.urls import reverse_lazy
from django.utils import timezone

from catalog.fields import TextField
from jobs.intake.models import Agency

MOST_NEAR = 5
# Days that a shop can mean; beyond them somebody mistyped a year.
FIRST_DAY, LAST_DAY = date(1990, 1, 1), date(2199, 12, 31)


class DayField(forms.DateField):
    """A calendar day. `past` or `coming` keeps it on that side of today; today is always fine."""

    def __init__(self, *, past: bool = False, coming: bool = False, **kwargs: Any) -> None:
        self.past, self.coming = past, coming
        kwargs.setdefault(
            "widget", forms.DateInput(attrs={"type": "date", "size": 12}, format="%Y-%m-%d")
        )
        super().__init__(**kwargs)
        self.error_messages["invalid"] = (
            "This is not a date. Type it as year-month-day: 2026-11-20."
        )

    def clean(self, value: Any) -> Any:
        day = super().clean(value)
        today = timezone.localdate()
        if day and self.past and day > today:
            raise forms.ValidationError(f"{day:%-d %b %Y} is after today, {today:%-d %b %Y}.")
        if day and self.coming and day < today:
            raise forms.ValidationError(f"{day:%-d %b %Y} is before today, {today:%-d %b %Y}.")
        if day and not FIRST_DAY <= day <= LAST_DAY:
            raise forms.ValidationError(
                f"{day} is not a day to plan with; it must be from {FIRST_DAY} to {LAST_DAY}."
            )
        return day


class PersonField(TextField):
    """A person by name or by one e-mail address; an address must be one that mail can go to."""

    def validate(self, value: str) -> None:
        super().validate(value)
        if "@" not in value:
            return
        try:
            validate_email(value)
        except forms.ValidationError:
            raise forms.ValidationError(
                f"{value} is no e-mail address. Type one address alone, or a name without @."
            ) from None


def address_in(person: str) -> str:
    """The e-mail address that was typed for a person, or nothing where it was a name."""
    return person if "@" in person else ""


def whole(label: str, *, most: int, least: int = 0, **kwargs: Any) -> forms.IntegerField:
    """A whole number as people type it, with its limits in the sentence."""
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 10}),
        error_messages={
            "invalid": f"Type a whole number from {least} to {most:,}.",
            "min_value": f"%(show_value)s is below {least}.",
            "max_value": f"%(show_value)s is above {most:,}.",
        },
        **kwargs,
    )


def long_text(rows: int = 3) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows})


class AgencyNameField(forms.CharField):
    """An agency chosen by typing its name; the page offers names that fit."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", agency_input())
        super().__init__(max_length=160, **kwargs)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, int):
            return Agency.objects.filter(pk=value).values_list("name", flat=True).first() or ""
        return value

    def clean(self, value: Any) -> Any:
        name = " ".join(super().clean(value).split())
        agency = Agency.objects.filter(name__iexact=name).first()
        if agency is None:
            raise forms.ValidationError(unknown_agency(name))
        return agency


def agency_input() -> forms.TextInput:
    """A text input with a list behind it, filled as one types (jobs:agency_names)."""
    return forms.TextInput(
        attrs={
            "list": "agency-names",
            "autocomplete": "off",
            "hx-get": reverse_lazy("jobs:agency_names"),
            "hx-trigger": "input changed delay:150ms",
            "hx-target": "#agency-names",
        }
    )


def agency_names(text: str, most: int = 50) -> list[str]:
    names = Agency.objects.filter(name__icontains=text).order_by("name")
    return list(names.values_list("name", flat=True)[:most])


def unknown_agency(name: str) -> str:
    """A sentence with the nearest names, by its first word."""
    near = agency_names(name.split()[0], MOST_NEAR) if name else []
    hint = f" Is it {', '.join(near)}?" if near else ""
    return f"There is no agency {name!r}.{hint}"
