"""Forms of the people slice. Django's validators (config/settings.py) judge passphrases."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.exceptions import ValidationError

from catalog.quantities import DOLLAR, DOLLAR_PER_POUND, PERCENT, QuantityField
from config.access import ROLE_NAMES, roles_of
from jobs.people.models import Shop

USER_NAME_WIDGET = forms.TextInput(attrs={"autocapitalize": "none", "spellcheck": "false"})


def passphrase_field(label: str, autocomplete: str, help_text: str = "") -> forms.CharField:
    return forms.CharField(
        label=label,
        strip=False,
        max_length=256,
        help_text=help_text,
        widget=forms.PasswordInput(attrs={"autocomplete": autocomplete}),
    )


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": (
            "This user name and passphrase do not belong together. Capitals count in both."
        ),
        "inactive": "This account is closed.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "User name"
        self.fields["username"].widget.attrs["spellcheck"] = "false"
        self.fields["password"].label = "Passphrase"


class NewPassphraseForm(forms.Form):
    """A passphrase typed twice and good enough. Forms that set one build on this."""

    passphrase = passphrase_field(
        "Passphrase",
        "new-password",
        "At least 12 characters. Three or four unrelated words are good and easy to type.",
    )
    again = passphrase_field("Passphrase once more", "new-password")

    def clean_passphrase(self) -> str:
        passphrase: str = self.cleaned_data["passphrase"]
        try:
            validate_password(passphrase)
        except ValidationError as error:
            raise ValidationError(
                [text.replace("password", "passphrase") for text in error.messages]
            ) from None
        return passphrase

    def clean_again(self) -> str:
        again: str = self.cleaned_data["again"]
        first = self.cleaned_data.get("passphrase")
        if first is not None and again != first:
            raise ValidationError("The two passphrases differ. Type the same one twice.")
        return again


class OwnPassphraseForm(NewPassphraseForm):
    current = passphrase_field("Passphrase now", "current-password")
    field_order = ["current", "passphrase", "again"]

    def __init__(self, *args: Any, person: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["passphrase"].label = "New passphrase"
        self.fields["again"].label = "New passphrase once more"
        self.person = person

    def clean_current(self) -> str:
        current: str = self.cleaned_data["current"]
        if not self.person.check_password(current):
            raise ValidationError("This is not your passphrase now.", code="wrong")
        return current


class NamesForm(forms.Form):
    """Who somebody is: the part that the first account and every other share."""

    full_name = forms.CharField(
        label="Full name",
        max_length=120,
        help_text="As it stands on records that this person signs.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    username = forms.CharField(
        label="User name",
        max_length=60,
        validators=[UnicodeUsernameValidator()],
        help_text="For signing in. Letters, digits and . _ - @ +, no spaces.",
        widget=USER_NAME_WIDGET,
    )

    def __init__(self, *args: Any, person: User | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_username(self) -> str:
        username: str = self.cleaned_data["username"]
        others = User.objects.exclude(pk=self.person.pk) if self.person else User.objects
        if others.filter(username__iexact=username).exists():
            raise ValidationError(f"{username} is taken. Choose another user name.")
        return username


class PersonForm(NamesForm):
    email = forms.EmailField(label="E-mail", required=False, max_length=254)
    roles = forms.MultipleChoiceField(
        label="Roles",
        choices=list(ROLE_NAMES.items()),
        widget=forms.CheckboxSelectMultiple,
        help_text="What this person may do. One person may hold several.",
    )
    is_active = forms.BooleanField(
        label="May sign in",
        required=False,
        initial=True,
        help_text="Take the mark away when somebody leaves. Their name stays on what they signed.",
    )

    @staticmethod
    def initial_of(person: User) -> dict[str, Any]:
        return {
            "full_name": person.get_full_name(),
            "username": person.username,
            "email": person.email,
            "roles": sorted(roles_of(person)),
            "is_active": person.is_active,
        }


class NewPersonForm(NewPassphraseForm, PersonForm):
    is_active = None
    field_order = ["full_name", "username", "email", "roles", "passphrase", "again"]


class FirstRunForm(NewPassphraseForm, NamesForm):
    shop_name = forms.CharField(
        label="Shop name", max_length=120, help_text="Shown on every page and every document."
    )
    field_order = ["shop_name", "full_name", "username", "passphrase", "again"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].widget.attrs["autocomplete"] = "username"


class ShopForm(forms.ModelForm):
    labour_rate_cents = QuantityField(
        DOLLAR, label="Labour rate per hour", most=10_000, help_text="New quotes start with it."
    )
    supplies_bp = QuantityField(
        PERCENT,
        label="Shop supplies, share of net parts",
        most=100,
        help_text="Terminals, ties, loom and the like. New quotes start with it.",
    )
    copper_cents_per_kg = QuantityField(
        DOLLAR_PER_POUND,
        label="Copper conductor, price per pound of copper",
        most=1_000,
        required=False,
        help_text="What a thicker conductor costs. Empty: suggestions show weight only.",
    )
    quote_valid_days = forms.IntegerField(
        label="Quotes are valid for (days)",
        min_value=1,
        max_value=365,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 10}),
    )

    class Meta:
        model = Shop
        fields = [
            "name",
            "phone",
            "email",
            "address",
            "page_size",
            "labour_rate_cents",
            "supplies_bp",
            "copper_cents_per_kg",
            "quote_valid_days",
            "sole_trader",
        ]
        labels = {"name": "Shop name", "email": "E-mail", "page_size": "Paper size of documents"}
        widgets = {"address": forms.Textarea(attrs={"rows": 3})}
