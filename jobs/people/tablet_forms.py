"""Forms around shared tablets."""

from itertools import pairwise
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from catalog.fields import TextField
from jobs.people.forms import passphrase_field

SHORTEST, LONGEST = 4, 8
PIN_ATTRS = {"inputmode": "numeric", "autocomplete": "off", "maxlength": LONGEST}


class TabletForm(forms.Form):
    name = TextField(label="Name of the tablet", most=40, help_text="As it is written on its case.")


class PinForm(forms.Form):
    pin = forms.CharField(
        label="PIN", max_length=LONGEST, widget=forms.PasswordInput(attrs=PIN_ATTRS)
    )


class OwnPinForm(forms.Form):
    """A new PIN, typed twice, proved by the passphrase."""

    current = passphrase_field("Your passphrase", "current-password")
    pin = forms.CharField(
        label="New PIN",
        help_text=f"{SHORTEST} to {LONGEST} digits. It counts on enrolled tablets only, and only "
        "for work in the bay.",
        widget=forms.PasswordInput(attrs=PIN_ATTRS),
    )
    again = forms.CharField(label="PIN once more", widget=forms.PasswordInput(attrs=PIN_ATTRS))

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_current(self) -> str:
        current: str = self.cleaned_data["current"]
        if not self.person.check_password(current):
            raise ValidationError("This is not your passphrase.", code="wrong")
        return current

    def clean_pin(self) -> str:
        pin: str = self.cleaned_data["pin"]
        if not (pin.isascii() and pin.isdecimal() and SHORTEST <= len(pin) <= LONGEST):
            raise ValidationError(f"A PIN is {SHORTEST} to {LONGEST} digits.")
        steps = {int(b) - int(a) for a, b in pairwise(pin)}
        if len(steps) == 1 and steps <= {-1, 0, 1}:
            raise ValidationError("Equal digits, or digits in a row, are guessed first.")
        return pin

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        if "pin" in self.cleaned_data and again != self.cleaned_data["pin"]:
            raise ValidationError("The two PINs differ.")
        return again
