"""Forms of a draft quote. People type dollars, hours and percent; rows keep cents, minutes, bp."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

from django import forms

from catalog.quantities import DOLLAR, HOUR, PERCENT, QuantityField, Unit
from jobs.intake.fields import DayField, long_text, whole
from jobs.intake.guard import GuardedForm
from jobs.quoting.lines import item_of
from jobs.quoting.models import PriceContract, Quote, QuoteLine
from jobs.quoting.pricing import STANDARD_LABOUR, Kind, PricedInput

PIECE = Unit(shown="pieces", stored="pieces", factor=Decimal(1), step=Decimal("0.01"))
MOST_DOLLARS = 10_000_000
MOST_HOURS = 10_000
MOST_PIECES = 10_000
LONGEST_VALIDITY_DAYS = 365


class TermsForm(GuardedForm):
    price_date = DayField(label="Prices of", help_text="The day of the price lists used.")
    valid_until = DayField(label="Valid until", help_text="The last day it can be approved.")
    contract = forms.ModelChoiceField(
        PriceContract.objects.all(),
        required=False,
        empty_label="No contract",
        help_text="It sets the discount for the number of units, and what has none.",
    )
    discount_bp = QuantityField(PERCENT, label="Contract discount on parts", most=100)
    unit_count = whole("Units priced", least=1, most=500)
    repeat_bp = QuantityField(
        PERCENT, label="Hours of each further unit", most=100, help_text="Of those of the first."
    )
    deposit_bp = QuantityField(PERCENT, label="Deposit on approval", most=100)
    labour_rate_cents = QuantityField(DOLLAR, label="Labour rate, one hour", most=1_000)
    supplies_bp = QuantityField(PERCENT, label="Shop supplies on net parts", most=20)
    tax_bp = QuantityField(
        PERCENT, label="Tax rate", most=30, help_text="It counts only when the quote is taxed."
    )

    class Meta:
        model = Quote
        fields = (
            "price_date",
            "valid_until",
            "contract",
            "discount_bp",
            "unit_count",
            "repeat_bp",
            "labour_rate_cents",
            "supplies_bp",
            "deposit_bp",
            "tax",
            "tax_bp",
            "labour_taxable",
            "note",
            "exclusions",
            "terms",
        )
        labels = {"exclusions": "Not included", "terms": "Terms of delivery and payment"}
        widgets = {"note": long_text(), "exclusions": long_text(), "terms": long_text()}

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        start, end = typed.get("price_date"), typed.get("valid_until")
        if start and end:
            days = (end - start).days
            if days < 0:
                words = f"{end:%-d %b %Y} is before the day of the prices, {start:%-d %b %Y}."
                self.add_error("valid_until", words)
            elif days > LONGEST_VALIDITY_DAYS:
                words = f"{days} days after the prices; the most is {LONGEST_VALIDITY_DAYS}."
                self.add_error("valid_until", words)
        return typed


# What each kind of line asks for.
ASKED: dict[Kind, tuple[str, ...]] = {
    Kind.PART: (
        "section", "code", "description", "quantity", "unit_cents", "minutes", "labour_class",
        "cost_cents", "discountable", "taxable",
    ),
    Kind.ONE_OFF: ("description", "minutes", "unit_cents", "taxable"),
    Kind.FREIGHT: ("description", "unit_cents", "taxable"),
    Kind.SUBLET: ("description", "unit_cents", "cost_cents", "taxable"),
    Kind.OPTION: (
        "code", "description", "quantity", "unit_cents", "minutes", "labour_class", "firm",
        "discountable", "taxable", "chosen",
    ),
}  # fmt: skip
# A line of the build sheet keeps what the sheet says; the office adds how it is priced.
ASKED_OF_SHEET_LINE = ("labour_class", "discountable", "taxable")
SECTIONS = {
    Kind.ONE_OFF: "One-off engineering",
    Kind.FREIGHT: "Freight",
    Kind.SUBLET: "Sublet",
    Kind.OPTION: "Options",
}
PRICE_LABELS = {
    Kind.PART: "List price of one",
    Kind.ONE_OFF: "Rate, one hour",
    Kind.OPTION: "List price of one",
}
SIGNED_HELP = "With a minus sign for what is taken out."


class LineForm(GuardedForm):
    """One line of a draft, guarded by the version of the whole quote."""

    quantity = QuantityField(PIECE, label="Quantity", most=MOST_PIECES)
    unit_cents = QuantityField(DOLLAR, label="Price", most=MOST_DOLLARS)
    minutes = QuantityField(HOUR, label="Hours, all pieces", most=MOST_HOURS)
    cost_cents = QuantityField(
        DOLLAR, label="Cost of one to the shop", most=MOST_DOLLARS, required=False,
        help_text="Internal. It is never printed or shown to the customer.",
    )  # fmt: skip

    class Meta:
        model = QuoteLine
        fields = (
            "section", "code", "description", "quantity", "unit_cents", "minutes", "labour_class",
            "cost_cents", "firm", "discountable", "taxable", "chosen",
        )  # fmt: skip
        labels = {
            "code": "Code",
            "taxable": "Taxed when the quote is taxed",
            "firm": "Agreed price: no discount, labour or supplies on top",
            "chosen": "Taken: the option counts in the total",
        }
        widgets = {"section": forms.TextInput(attrs={"list": "sections", "autocomplete": "off"})}

    def __init__(self, *args: Any, instance: QuoteLine, quote: Quote, **kwargs: Any) -> None:
        instance.version = quote.version  # type: ignore[attr-defined]
        super().__init__(*args, instance=instance, **kwargs)
        self.kind = Kind(instance.kind)
        asked = ASKED_OF_SHEET_LINE if instance.ref else ASKED[self.kind]
        for name in set(self._meta.fields or ()) - set(asked):
            del self.fields[name]
        if "labour_class" in self.fields:
            names = [STANDARD_LABOUR, *(one["name"] for one in quote.labour_rates)]
            self.fields["labour_class"] = forms.ChoiceField(
                label="Class of work",
                choices=[("", "As its section"), *((name, name) for name in names)],
                required=False,
                show_hidden_initial=instance.pk is not None,
            )
        if instance.pk is None:  # a double click must not add a line twice
            hidden = forms.HiddenInput
            self.fields["version"] = forms.IntegerField(widget=hidden, initial=quote.version)
        self._reword()

    def _reword(self) -> None:
        if "unit_cents" in self.fields:
            self.fields["unit_cents"].label = f"{PRICE_LABELS.get(self.kind, 'Price')} ($)"
        if self.kind == Kind.OPTION:
            for name in {"quantity", "minutes"} & set(self.fields):
                field = self.fields[name]
                field.least, field.help_text = -field.most, SIGNED_HELP  # type: ignore[attr-defined]

    def values(self) -> dict[str, Any]:
        names = self._meta.fields or ()
        return {name: self.cleaned_data[name] for name in names if name in self.fields}

    def item(self) -> PricedInput:
        """The line as it is to be priced."""
        row = self.instance
        if row.pk is None:
            row.section = row.section or SECTIONS.get(self.kind, "")
        return replace(item_of(row), **self.values())


def new_line(quote: Quote, kind: Kind) -> QuoteLine:
    """An empty line of this kind with what the quote suggests."""
    rate = quote.labour_rate_cents if kind == Kind.ONE_OFF else 0
    code = ""
    if kind == Kind.OPTION:
        code = f"O-{quote.lines.filter(kind=kind).count() + 1}"
    return QuoteLine(quote=quote, kind=kind, unit_cents=rate, code=code, quantity=Decimal(1))
