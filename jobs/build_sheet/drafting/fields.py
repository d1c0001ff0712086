"""Form fields of a logic entry: what people type, and the plain JSON that it stands for."""

import math
import re
from typing import Any

from django import forms

MOST_LIST = 40
Plain = dict[str, Any]


class ExpressionField(forms.CharField):
    """An expression as it is typed; whether it can be read is judged with the whole logic."""

    def __init__(self, **kwargs: Any) -> None:
        rows = kwargs.pop("rows", 3)
        widget = forms.Textarea(attrs={"rows": rows, "spellcheck": "false", "class": "mono"})
        super().__init__(**{"widget": widget, **kwargs})


class ListField(forms.CharField):
    """Words with commas between them."""

    def prepare_value(self, value: Any) -> Any:
        return ", ".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        words = [word.strip() for word in typed.split(",") if word.strip()]
        if len(words) > MOST_LIST:
            raise forms.ValidationError(f"{len(words)} entries; at most {MOST_LIST} are kept.")
        return words


class LinesField(forms.CharField):
    """One expression a line."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea(attrs={"rows": 4, "spellcheck": "false", "class": "mono"})
        super().__init__(**{"widget": widget, **kwargs})

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        lines = [line.strip() for line in super().clean(value).splitlines() if line.strip()]
        if len(lines) > MOST_LIST:
            raise forms.ValidationError(f"{len(lines)} lines; at most {MOST_LIST} are kept.")
        return lines


class NumberField(forms.CharField):
    """A finite number within limits, comma or point; kept as a number of the document."""

    def __init__(self, *, least: float, most: float, unit: str = "", **kwargs: Any) -> None:
        self.least, self.most, self.unit = least, most, unit
        widget = forms.TextInput(attrs={"inputmode": "decimal", "size": 10})
        super().__init__(**{"widget": widget, **kwargs})
        if unit and self.label:
            self.label = f"{self.label} ({unit})"

    def prepare_value(self, value: Any) -> Any:
        return f"{value:g}" if isinstance(value, int | float) else value

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        number = number_in(typed)
        if number is None:
            raise forms.ValidationError(f"{typed[:40]} is not a number.")
        if not self.least <= number <= self.most:
            limits = f"{self.least:g} to {self.most:g} {self.unit}".rstrip()
            raise forms.ValidationError(f"{typed[:40]} lies outside {limits}.")
        return number


class WholeField(NumberField):
    """As NumberField, without a fraction."""

    def clean(self, value: Any) -> Any:
        number = super().clean(value)
        if number is not None and number != int(number):
            raise forms.ValidationError(f"{number:g} is not a whole number.")
        return None if number is None else int(number)


class CurrentField(NumberField):
    """Typed in ampere, kept in mA."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(least=0, most=600, unit="A", **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return f"{value / 1000:g}" if isinstance(value, int) else value

    def clean(self, value: Any) -> Any:
        number = super().clean(value)
        return None if number is None else round(number * 1000)


class ThresholdsField(ListField):
    """Values with an optional name each: “1, 10 scene”."""

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, list):
            return value
        return ", ".join(f"{each['value']:g} {each.get('name', '')}".strip() for each in value)

    def clean(self, value: Any) -> Any:
        return [self._read(word) for word in super().clean(value)]

    def _read(self, word: str) -> Plain:
        typed, _, name = word.partition(" ")
        number = number_in(typed)
        if number is None:
            raise forms.ValidationError(f"“{word[:40]}” does not begin with a number.")
        named = {"name": name.strip()} if name.strip() else {}
        return {"value": number, **named}


class UnsafeField(LinesField):
    """What an unknown signal counts as, one a line: “GEAR is P”."""

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, list):
            return value
        return "\n".join(f"{each['signal']} is {each['value']}" for each in value)

    def clean(self, value: Any) -> Any:
        return [self._read(line) for line in super().clean(value)]

    def _read(self, line: str) -> Plain:
        match = re.fullmatch(r"(\w+)\s+(?:is|=)\s+(\S+)", line, re.IGNORECASE)
        if match is None:
            raise forms.ValidationError(f"“{line[:60]}” must read like “GEAR is P”.")
        return {"signal": match[1], "value": match[2]}


def number_in(typed: str) -> float | None:
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        return None
    if not math.isfinite(number):
        return None
    return int(number) if number == int(number) else number
