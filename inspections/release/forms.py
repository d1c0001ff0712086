"""Signing needs the passphrase again: the tablet may be somebody else's."""

from typing import Any

from django import forms
from django.contrib.auth.models import User


class SignForm(forms.Form):
    passphrase = forms.CharField(
        label="Your passphrase, once more",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_passphrase(self) -> str:
        passphrase = str(self.cleaned_data["passphrase"])
        if not self.person.check_password(passphrase):
            raise forms.ValidationError(
                "This is not your passphrase. Nothing was signed.", code="wrong"
            )
        return passphrase
