"""Forms of what follows an approval: the customer's order and change orders."""

from typing import Any

from django import forms

from catalog.quantities import DOLLAR, HOUR, QuantityField
from jobs.intake.fields import DayField, long_text, whole
from jobs.intake.guard import GuardedForm
from jobs.quoting.forms import (
    MOST_DOLLARS,
    MOST_HOURS,
    MOST_PIECES,
    PIECE,
    SECTIONS,
    SIGNED_HELP,
)
from jobs.quoting.models import ChangeOrder, PurchaseOrder
from jobs.quoting.pricing import Kind, PricedInput

MOST_DAYS = 365


class OrderForm(GuardedForm):
    number = forms.CharField(label="Order number", max_length=40)
    revision_typed = forms.CharField(
        label="Quote revision on the order",
        max_length=3,
        required=False,
        widget=forms.TextInput(attrs={"size": 4, "autocapitalize": "characters"}),
        help_text="As it is printed on the order. Leave it empty when the order names none.",
    )
    total_cents = QuantityField(DOLLAR, label="Total of the order", most=MOST_DOLLARS)
    bill_to = forms.CharField(
        label="Bill to", max_length=200, widget=long_text(), help_text="As on the order."
    )
    contract_typed = forms.CharField(
        label="Contract number on the order",
        max_length=40,
        required=False,
        help_text="Leave it empty when the order names none.",
    )
    received_on = DayField(label="Received on", past=True)

    class Meta:
        model = PurchaseOrder
        fields = (
            "number", "revision_typed", "contract_typed", "total_cents", "bill_to", "received_on",
        )  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk is not None:
            del self.fields["number"]

    def clean_revision_typed(self) -> str:
        return str(self.cleaned_data["revision_typed"]).strip().upper()

    def facts(self) -> dict[str, Any]:
        """What the actions about orders want to know."""
        typed = self.cleaned_data
        return {
            "revision": typed["revision_typed"],
            "contract": " ".join(typed["contract_typed"].split()),
            "total_cents": typed["total_cents"],
            "bill_to": typed["bill_to"],
            "received_on": typed["received_on"],
        }

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self.fields if name not in GUARD}


GUARD = ("version", "kept")


class ResolveForm(forms.Form):
    reason = forms.CharField(
        label="Why it may go ahead",
        max_length=1_000,
        widget=long_text(),
        help_text="Who agreed to what, and where it is written. The mismatches stay on record.",
    )
    version = forms.IntegerField(widget=forms.HiddenInput)


class ChangeForm(GuardedForm):
    days = whole("Days added", least=-MOST_DAYS, most=MOST_DAYS)

    class Meta:
        model = ChangeOrder
        fields = ("title", "reason", "asked_by", "days", "note")
        labels = {"title": "What changes"}
        help_texts = {
            "note": "What it means for drawings, stages, weight and current draw.",
            "asked_by": "The person at the agency, or who found it on the vehicle.",
        }
        widgets = {"note": long_text()}


class ChangeLineForm(forms.Form):
    kind = forms.ChoiceField(
        label="Kind",
        choices=[
            (Kind.PART, "Part"),
            (Kind.ONE_OFF, "One-off engineering"),
            (Kind.FREIGHT, "Freight"),
            (Kind.SUBLET, "Sublet work"),
        ],
    )
    ref = forms.CharField(label="Build line", max_length=10, required=False)
    section = forms.CharField(
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"list": "sections", "autocomplete": "off"}),
    )
    description = forms.CharField(max_length=200)
    quantity = QuantityField(
        PIECE, label="Quantity", least=-MOST_PIECES, most=MOST_PIECES, help_text=SIGNED_HELP
    )
    unit_cents = QuantityField(
        DOLLAR,
        label="List price of one",
        most=MOST_DOLLARS,
        help_text="For one-off engineering the rate of one hour.",
    )
    minutes = QuantityField(
        HOUR,
        label="Hours, all pieces",
        least=-MOST_HOURS,
        most=MOST_HOURS,
        help_text=SIGNED_HELP,
    )
    discountable = forms.BooleanField(
        label="Contract discount applies", required=False, initial=True
    )
    taxable = forms.BooleanField(
        label="Taxed when the quote is taxed", required=False, initial=True
    )
    version = forms.IntegerField(widget=forms.HiddenInput)

    def item(self) -> PricedInput:
        typed = self.cleaned_data
        kind = Kind(typed["kind"])
        return PricedInput(
            kind=kind,
            section=typed["section"] or SECTIONS.get(kind, "Change"),
            ref=typed["ref"],
            description=typed["description"],
            quantity=typed["quantity"],
            unit_cents=typed["unit_cents"],
            minutes=typed["minutes"],
            discountable=typed["discountable"],
            taxable=typed["taxable"],
        )
