"""What a cell or an entry may hold. One field object reads it, writes it back and shows it.

`clean` takes text from a form or a sheet and answers with a sentence when it is wrong; `write`
gives the text that `clean` would read as the same value; `show` gives words for a page.
"""

import re
import unicodedata
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from catalog.quantities import short

LONGEST_KEY = 18  # digits of a number that 64 bits certainly hold
NUMERIC = {"inputmode": "numeric", "size": 8}
_CODE = re.compile(r"[A-Z0-9][A-Z0-9._-]*")
_DAYS = ("%Y-%m-%d", "%Y-%m-%d %H:%M:%S", "%d %b %Y")
_WORDS = {"yes": True, "true": True, "1": True, "on": True, "no": False, "false": False, "0": False}


class RowsField(forms.ModelMultipleChoiceField):
    """Several rows by key. A key that no column can hold is no choice, not a broken database."""

    def clean(self, value: Any) -> Any:
        for key in value or ():
            if len(str(key)) > LONGEST_KEY:
                words = self.error_messages["invalid_choice"]
                raise ValidationError(words, code="invalid_choice", params={"value": key})
        return super().clean(value)


class TextField(forms.CharField):
    """Text of limited length, on one line unless `widget` has several."""

    def __init__(self, *, most: int, **kwargs: Any) -> None:
        self.most = most
        super().__init__(**kwargs)
        self.widget.attrs.setdefault("maxlength", str(most))
        self.several_lines = isinstance(self.widget, forms.Textarea)

    def to_python(self, value: Any) -> str:
        """Without invisible format marks, which come along when text is copied from a document."""
        text = "".join(c for c in super().to_python(value) if unicodedata.category(c) != "Cf")
        if self.several_lines:
            return "\n".join(" ".join(line.split()) for line in text.splitlines()).strip()
        return " ".join(text.split())

    def validate(self, value: str) -> None:
        super().validate(value)
        if len(value) > self.most:
            raise ValidationError(f"{len(value)} characters are too long. At most {self.most}.")
        for character in value:
            if not character.isprintable() and character != "\n":
                raise ValidationError(
                    f"{short(value)!r} holds a character that cannot be printed "
                    f"(U+{ord(character):04X})."
                )

    def write(self, value: str | None) -> str:
        return value or ""

    def show(self, value: str | None) -> str:
        return value or "not given"


class NameField(TextField):
    """A word that other rows look up, such as a function or a colour: small letters."""

    def to_python(self, value: Any) -> str:
        return super().to_python(value).lower()

    def show(self, value: str | None) -> str:
        return value or ""


class CodeField(TextField):
    """The shop's own part code: capital letters, safe in an address and on a label."""

    def to_python(self, value: Any) -> str:
        return super().to_python(value).upper()

    def validate(self, value: str) -> None:
        super().validate(value)
        if value and not _CODE.fullmatch(value):
            raise ValidationError(
                f"{short(value)} is no part code. Letters A to Z, digits and . _ - only, no spaces."
            )


class WholeField(forms.Field):
    """A whole number between two limits. Left empty it is `initial`."""

    def __init__(self, *, most: int, least: int = 0, unit: str = "", **kwargs: Any) -> None:
        self.least, self.most, self.unit = least, most, unit
        kwargs.setdefault("widget", forms.TextInput(attrs=NUMERIC))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> int | None:
        if value in self.empty_values:
            return self.initial
        text = str(value).strip().removesuffix(".0")
        digits = text.removeprefix("-")
        if not (digits.isascii() and digits.isdigit()):
            raise ValidationError(f"{short(value)} is not a whole number.")
        if len(digits) > len(str(self.most)) or int(text) > self.most:
            raise ValidationError(f"{short(value)} is above {self.most}.")
        if int(text) < self.least:
            raise ValidationError(f"{short(value)} is below {self.least}.")
        return int(text)

    def write(self, value: int | None) -> str:
        return "" if value is None else str(value)

    def show(self, value: int | None) -> str:
        return "not known" if value is None else f"{value:,} {self.unit}".strip()


class WordField(forms.ChoiceField):
    """One of a few words; a sheet may hold the short word or the long one. Empty is `initial`."""

    def to_python(self, value: Any) -> str:
        text = " ".join(str(value if value is not None else "").lower().split())
        if not text:
            return self.initial or ""
        for word, label in self.choices:
            if text in (word.lower(), str(label).lower()):
                return word
        words = ", ".join(word for word, _ in self.choices if word)
        raise ValidationError(f"{short(value)} is not one of {words}.")

    def validate(self, value: str) -> None:
        forms.Field.validate(self, value)

    def write(self, value: str | None) -> str:
        return value or ""

    def show(self, value: str | None) -> str:
        if not value and self.required:
            return "not given"
        return str(dict(self.choices).get(value or "", value))


class YesNoField(forms.BooleanField):
    """A tick on a page, yes or no in a sheet."""

    def to_python(self, value: Any) -> bool:
        text = str(value or "no").strip().lower()
        if text not in _WORDS:
            raise ValidationError(f"{short(value)} is neither yes nor no.")
        return _WORDS[text]

    def write(self, value: bool | None) -> str:
        return "yes" if value else "no"

    show = write


class DayField(forms.DateField):
    """A day, written 2026-11-20."""

    widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})

    def to_python(self, value: Any) -> date | None:
        if value in self.empty_values:
            return None
        for shape in _DAYS:
            try:
                return _in_our_time(datetime.strptime(str(value).strip(), shape).date())  # noqa: DTZ007
            except ValueError:
                continue
        raise ValidationError(f"{short(value)} is not a date. Type it like 2026-11-20.")

    def write(self, value: date | None) -> str:
        return value.isoformat() if value else ""

    def show(self, value: date | None) -> str:
        return f"{value.day} {value:%b %Y}" if value else "not known"


def _in_our_time(day: date) -> date:
    if not date(1990, 1, 1) <= day <= date(2100, 1, 1):
        raise ValidationError(f"{day.isoformat()} is not between 1990 and 2100.")
    return day
