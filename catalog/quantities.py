"""Units people type and units we store. Exact in Decimal; one table for forms and display.

Stored: g (three decimals), mm (two decimals), and whole mA, uA, mV, mAh, cents, minutes, basis
points. Shown: lb, ft, in, A, mA, V, Ah, $, h, %.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError


@dataclass(frozen=True, kw_only=True, slots=True)
class Unit:
    """`shown` is what people type; stored = shown x factor, kept to `step`."""

    shown: str
    stored: str
    factor: Decimal
    step: Decimal

    def to_stored(self, value: Decimal) -> Decimal | int:
        stored = (value * self.factor).quantize(self.step, rounding=ROUND_HALF_UP)
        return int(stored) if self.step == 1 else stored

    def to_shown(self, stored: Decimal | int) -> Decimal:
        """Back to what people typed, without the tail that a factor leaves behind."""
        exact = Decimal(stored) / self.factor
        rounded = exact.quantize(Decimal("0.0001"), rounding=ROUND_HALF_UP).normalize()
        return rounded if rounded.as_tuple().exponent <= 0 else rounded.quantize(Decimal(1))


def _unit(shown: str, stored: str, factor: str, step: str = "1") -> Unit:
    return Unit(shown=shown, stored=stored, factor=Decimal(factor), step=Decimal(step))


POUND = _unit("lb", "g", "453.59237", "0.001")  # exact by definition
FOOT = _unit("ft", "mm", "304.8", "0.01")  # exact by definition
INCH = _unit("in", "mm", "25.4", "0.01")  # exact by definition
AMPERE = _unit("A", "mA", "1000")
MILLIAMPERE = _unit("mA", "uA", "1000")
VOLT = _unit("V", "mV", "1000")
MILLIOHM = _unit("mΩ", "uΩ", "1000")
AMPERE_HOUR = _unit("Ah", "mAh", "1000")
# 100 cents over 0.45359237 kg.
DOLLAR_PER_POUND = _unit("$/lb", "cents/kg", "220.46226218")
DOLLAR = _unit("$", "cents", "100")
HOUR = _unit("h", "minutes", "60")
PERCENT = _unit("%", "basis points", "100")


# What the smallest of our number columns can hold.
LARGEST_STORED = 2_147_483_647
# 2,140 is two thousand to one reader and two point one four to the next.
_TWO_READINGS = re.compile(r"-?[1-9]\d{0,2}(,\d{3})+")
_ONE_READING = re.compile(r"-?[1-9]\d{0,2}(,\d{3})+\.\d+")


def short(value: Any) -> str:
    """What somebody typed, for a sentence about it."""
    text = str(value).strip()
    return text if len(text) <= 40 else f"{text[:37]}..."


class QuantityField(forms.DecimalField):
    """A number typed in the trade's unit and stored in ours. Comma or point; nothing else.

    Finite only; out of range the error names the value and the limit.
    """

    def __init__(
        self,
        unit: Unit,
        *,
        least: Decimal | int | None = 0,
        most: Decimal | int | None = None,
        **kwargs: Any,
    ) -> None:
        self.unit, self.least = unit, least
        self.most = LARGEST_STORED // unit.factor if most is None else most
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "size": 10}))
        super().__init__(**kwargs)
        if self.label and f"({unit.shown})" not in str(self.label):
            self.label = f"{self.label} ({unit.shown})"

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, Decimal | int) and not isinstance(value, bool):
            return format(self.unit.to_shown(value), "f")
        return value

    def write(self, stored: Any) -> str:
        """The figure as people would type it; empty when it is not known."""
        return "" if stored is None else format(self.unit.to_shown(stored), "f")

    def show(self, stored: Any) -> str:
        """The figure with its unit, for reading."""
        if stored is None:
            return "not known"
        shown = self.unit.to_shown(stored)
        if self.unit is DOLLAR:
            return f"${shown:,.2f}"
        return f"{shown:,f} {self.unit.shown}"

    def to_python(self, value: Any) -> Any:
        if value in self.empty_values:
            return None
        text = str(value).strip()
        if _TWO_READINGS.fullmatch(text):
            whole, point = text.replace(",", ""), text.replace(",", ".")
            choice = f"{whole} or {point}" if text.count(",") == 1 else whole
            raise ValidationError(f"{short(text)} can be read in two ways. Type {choice}.")
        if _ONE_READING.fullmatch(text):
            text = text.replace(",", "")
        try:
            number = super().to_python(text.replace(",", "."))
        except ValidationError:
            number = None
        if number is None or not number.is_finite():
            raise ValidationError(f"{short(value)} is not a number. Type it in {self.unit.shown}.")
        return number

    def clean(self, value: Any) -> Any:
        typed = self.to_python(value)
        self.validate(typed)
        if typed is None:
            return None
        unit = self.unit.shown
        least = -self.most if self.least is None else self.least
        if typed < least:
            raise ValidationError(f"{short(value)} {unit} is below {least}.")
        if typed > self.most:
            raise ValidationError(f"{short(value)} {unit} is above {self.most}.")
        stored = self.unit.to_stored(typed)
        if typed and not stored:
            finest = format((self.unit.step / self.unit.factor).normalize(), ".1g")
            raise ValidationError(f"{short(value)} {unit} is finer than we keep ({finest} {unit}).")
        return stored

    def has_changed(self, initial: Any, data: Any) -> bool:
        if data in self.empty_values:
            return initial not in self.empty_values
        try:
            return bool(self.clean(data) != initial)
        except ValidationError:
            return True
