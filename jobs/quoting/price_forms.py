"""Forms of what the shop charges by agreement. Tiers and sections are typed one a line."""

from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms

from catalog.quantities import DOLLAR, PERCENT, QuantityField
from jobs.intake.fields import DayField, long_text
from jobs.intake.guard import GuardedForm
from jobs.quoting.models import LabourClass, PriceContract
from jobs.quoting.pricing import STANDARD_LABOUR

MOST_TIERS = 12


class SectionsField(forms.CharField):
    """Names of quote sections, one a line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=600, widget=long_text(), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        return list(dict.fromkeys(line.strip() for line in text.splitlines() if line.strip()))


class TiersField(forms.CharField):
    """Tiers as people write them: "1: 22" is 22 % from one unit on."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=300, widget=long_text(), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list):
            return "\n".join(f"{units}: {Decimal(bp) / 100:g}" for units, bp in value)
        return value

    def clean(self, value: Any) -> Any:
        lines = [line for line in super().clean(value).splitlines() if line.strip()]
        if len(lines) > MOST_TIERS:
            raise forms.ValidationError(f"{len(lines)} tiers; the most is {MOST_TIERS}.")
        tiers = sorted(_tier(line) for line in lines)
        if len({units for units, _ in tiers}) < len(tiers):
            raise forms.ValidationError("Two tiers start at the same number of units.")
        return tiers


def _tier(line: str) -> list[int]:
    units, _, percent = line.partition(":")
    try:
        least, bp = int(units), Decimal(percent.strip().rstrip("% ")) * 100
    except (ValueError, InvalidOperation):
        raise forms.ValidationError(
            f"{line.strip()} is no tier. Write units, a colon and percent, for example 5: 25."
        ) from None
    if least < 1 or not bp.is_finite() or not 0 <= bp <= 10_000 or bp != int(bp):
        raise forms.ValidationError(
            f"{line.strip()}: units start at 1 and a discount lies within 0 to 100 %, "
            "with two decimals at most."
        )
    return [least, int(bp)]


class ContractForm(GuardedForm):
    tiers = TiersField(
        label="Discount by number of units",
        help_text="One tier a line: units from, a colon, percent. For example 1: 22 and 5: 25.",
    )
    excluded = SectionsField(
        label="Sections without discount", help_text="One a line, as quotes name them: Radio."
    )
    fee_bp = QuantityField(
        PERCENT, label="Administration fee on quotes", most=20, required=False, initial=0,
        help_text="A line of every quote under it, on everything but freight and tax. 0: none, or "
        "the shop pays it out of its own price.",
    )  # fmt: skip
    valid_from = DayField(label="Valid from")
    valid_until = DayField(label="Valid until")

    class Meta:
        model = PriceContract
        fields = (
            "number", "name", "tiers", "excluded", "fee_bp", "valid_from", "valid_until", "route",
        )  # fmt: skip

    def clean_fee_bp(self) -> int:
        return self.cleaned_data["fee_bp"] or 0

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        start, end = typed.get("valid_from"), typed.get("valid_until")
        if start and end and end < start:
            words = f"{end:%-d %b %Y} is before its start, {start:%-d %b %Y}."
            self.add_error("valid_until", words)
        return typed


class LabourClassForm(GuardedForm):
    cents_per_hour = QuantityField(DOLLAR, label="Rate, one hour", most=1_000)
    sections = SectionsField(
        label="Sections done by this class", help_text="One a line. All other work is standard."
    )

    class Meta:
        model = LabourClass
        fields = ("name", "cents_per_hour", "sections")

    def clean_name(self) -> str:
        name = str(self.cleaned_data["name"])
        if name.casefold() == STANDARD_LABOUR.casefold():
            raise forms.ValidationError(f"{name} is the shop's own rate; set it in the settings.")
        return name
