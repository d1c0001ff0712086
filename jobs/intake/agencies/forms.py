"""Forms about the customer: name and tax, legal profile, contacts."""

from typing import Any

from django import forms

from catalog.quantities import DOLLAR, QuantityField
from jobs.intake.agencies import legal
from jobs.intake.fields import DayField, long_text
from jobs.intake.guard import GuardedForm
from jobs.intake.models import Agency, Contact


class AgencyForm(GuardedForm):
    certificate_expires_on = DayField(label="Certificate expires on", required=False)

    class Meta:
        model = Agency
        fields = (
            "name",
            "place",
            "bill_to",
            "exempt",
            "certificate_number",
            "certificate_state",
            "certificate_expires_on",
        )
        labels = {"place": "Town and state", "certificate_state": "State of the certificate"}
        help_texts = {
            "bill_to": "Name and address as on the purchase order and the tax certificate.",
        }
        widgets = {"bill_to": long_text()}

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        twin = Agency.objects.filter(name__iexact=name).exclude(pk=self.instance.pk).first()
        if twin:
            raise forms.ValidationError(f"There is an agency {twin.name} already.")
        return name

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("exempt"):
            for name in ("certificate_number", "certificate_state"):
                if name not in self.errors and not data.get(name):
                    self.add_error(name, "A tax-exempt agency has a certificate; write it here.")
        return data


class LegalForm(GuardedForm):
    """Ticks for each zone. `colours_front` and the like are made from the list of zones."""

    tones = forms.MultipleChoiceField(
        label="Siren tones permitted",
        choices=list(legal.TONES.items()),
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    legal_source = forms.CharField(
        label="Source",
        max_length=200,
        help_text="Law, permit or letter, with its section and date. Who read it.",
    )
    legal_checked_on = DayField(label="Checked on", past=True)

    class Meta:
        model = Agency
        fields = ("legal_source", "legal_checked_on")

    def __init__(self, *args: Any, instance: Agency, **kwargs: Any) -> None:
        self.base_fields = {**self._zone_fields(), **type(self).base_fields}
        profile = instance.legal_profile
        initial = {
            **{f"colours_{zone}": legal.colours_in(profile, zone) for zone in legal.ZONES},
            "tones": profile.get("tones", []),
        }
        super().__init__(*args, instance=instance, initial=initial, **kwargs)

    @staticmethod
    def _zone_fields() -> dict[str, forms.Field]:
        return {
            f"colours_{zone}": forms.MultipleChoiceField(
                label=name,
                choices=list(legal.COLOURS.items()),
                widget=forms.CheckboxSelectMultiple,
                required=False,
            )
            for zone, name in legal.ZONES.items()
        }

    @property
    def zones(self) -> list[forms.BoundField]:
        return [self[f"colours_{zone}"] for zone in legal.ZONES]

    def values(self) -> dict[str, Any]:
        colours = {zone: self.cleaned_data[f"colours_{zone}"] for zone in legal.ZONES}
        profile = legal.with_choices(
            self.instance.legal_profile, colours, self.cleaned_data["tones"]
        )
        return {**super().values(), "legal_profile": profile}


class ContactForm(GuardedForm):
    limit_cents = QuantityField(
        DOLLAR,
        label="May approve up to",
        most=1_000_000_000,
        required=False,
        help_text="Leave empty when there is no limit.",
    )

    class Meta:
        model = Contact
        fields = ("name", "role", "email", "phone", "may_approve", "limit_cents")
        labels = {"email": "E-mail", "role": "Role at the agency"}
        help_texts = {
            "may_approve": "This person's yes changes the price. Usually one person only.",
        }

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("limit_cents") is not None and not data.get("may_approve"):
            self.add_error(
                "limit_cents", "A limit is given, but this person may not approve money."
            )
        return data
