"""Form fields of a logic entry: what people type, and the plain JSON that it stands for."""

import math
import re
from typing import Any

from django import forms

MOST_LIST = 40
MOST_AMPS = 600
USUAL_KIND = "switched"
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


class ChannelsField(LinesField):
    """One channel a line: “1, 25” is channel 1 with 25 A; a kind and a peak may follow."""

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, list):
            return value
        return "\n".join(self._write(each) for each in value)

    def _write(self, each: Plain) -> str:
        parts = [each["name"], f"{each['limit_ma'] / 1000:g}"]
        kind, peak = each.get("kind", USUAL_KIND), each.get("peak_limit_ma", 0)
        if peak or kind != USUAL_KIND:
            parts.append(kind)
        if peak:
            parts.append(f"{peak / 1000:g}")
        return ", ".join(parts)

    def clean(self, value: Any) -> Any:
        channels = [self._read(line) for line in super().clean(value)]
        names = [each["name"] for each in channels]
        if twice := next((name for name in names if names.count(name) > 1), ""):
            raise forms.ValidationError(f"Channel {twice} is there twice.")
        return channels

    def _read(self, line: str) -> Plain:
        parts = [part.strip() for part in line.split(",")]
        amps = [number_in(part) for part in (*parts[1:2], *parts[3:4])]
        fine = all(each is not None and 0 < each <= MOST_AMPS for each in amps)
        if not parts[0] or not 2 <= len(parts) <= 4 or not fine:
            raise forms.ValidationError(
                f"“{line[:60]}” must read like “1, 25” or “1, 25, {USUAL_KIND}, 40”: name, A, "
                f"kind, peak A up to {MOST_AMPS}."
            )
        channel: Plain = {"name": parts[0][:20], "limit_ma": round((amps[0] or 0) * 1000)}
        if len(parts) > 2:
            channel["kind"] = parts[2][:60]
        if len(parts) > 3:
            channel["peak_limit_ma"] = round((amps[1] or 0) * 1000)
        return channel


def number_in(typed: str) -> float | None:
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        return None
    if not math.isfinite(number):
        return None
    return int(number) if number == int(number) else number
