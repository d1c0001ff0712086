"""Two people edit one row. The second sees both texts and decides; nothing is lost quietly.

A guarded form carries the version it was opened on and what stood in each field then. The write
is a conditional update on that version. When it loses, `after_conflict` makes the form again:
fields the person did not touch take the other's text, fields they touched keep theirs.
"""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from typing import Any

from django import forms
from django.db.models import F, Model
from django.forms.boundfield import BoundField


class StaleError(Exception):
    """The row was changed by somebody else after the form was opened."""

    def __init__(self, stored: Model) -> None:
        super().__init__("Somebody else changed this while you were typing.")
        self.stored = stored


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    label: str
    stored: str
    yours: str
    kept: bool


def update_guarded(row: Any, *, version: int, values: Mapping[str, Any]) -> list[str]:
    """Write the values that differ from what is stored; return their names.

    Raises StaleError when somebody else wrote in between and there is something to write. Sending
    the same form twice therefore loses nothing and complains about nothing.
    """
    rows = type(row).objects
    stored = rows.get(pk=row.pk)
    changed = [name for name, value in values.items() if getattr(stored, name) != value]
    if not changed:
        return []
    new = {name: values[name] for name in changed}
    if not rows.filter(pk=row.pk, version=version).update(**new, version=F("version") + 1):
        raise StaleError(rows.get(pk=row.pk))
    row.refresh_from_db()
    return changed


class GuardedForm(forms.ModelForm):  # type: ignore[type-arg]
    """A form for a row with a `version` column. New rows need no guard and get none."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=0)
    # Names of fields that held the person's own text after an earlier conflict.
    kept = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, instance: Any = None, **kwargs: Any) -> None:
        # Validating writes into the instance; the caller's row must stay what is stored.
        super().__init__(*args, instance=copy(instance), **kwargs)
        if self.instance.pk is None:
            del self.fields["version"], self.fields["kept"]
            return
        self.fields["version"].initial = self.instance.version
        for name in self._guarded():
            self.fields[name].show_hidden_initial = True

    def _guarded(self) -> list[str]:
        return [name for name in self.fields if name not in ("version", "kept")]

    def values(self) -> dict[str, Any]:
        """What to write, by column. Forms with other fields than columns add to this."""
        return {name: self.cleaned_data[name] for name in self._meta.fields or ()}

    def after_conflict(
        self, stored: Model, **kwargs: Any
    ) -> tuple["GuardedForm", list[Difference]]:
        """The form once more on what is stored now, with the person's own texts kept in it."""
        fresh = type(self)(instance=stored, **kwargs)
        differences, kept = [], []
        for name in self._guarded():
            now, yours = (
                fresh.get_initial_for_field(self.fields[name], name),
                self.cleaned_data[name],
            )
            if _plain(yours) == _plain(now):
                continue
            touched = name in self.cleaned_data["kept"].split() or _touched(self, self[name])
            if touched:
                kept.append(name)
                fresh.initial[name] = self[name].data
            differences.append(
                Difference(
                    label=str(self[name].label),
                    stored=in_words(self.fields[name], now),
                    yours=in_words(self.fields[name], yours),
                    kept=touched,
                )
            )
        fresh.fields["kept"].initial = " ".join(kept)
        return fresh, differences


def _touched(form: forms.BaseForm, bound: BoundField) -> bool:
    """Did the person change this field since the form was opened?"""
    widget = bound.field.hidden_widget()
    base = widget.value_from_datadict(form.data, form.files, bound.html_initial_name)
    return _raw(bound.data) != _raw(base)


def _raw(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return sorted(str(one) for one in value)
    return str("" if value is None else value).strip().replace("\r\n", "\n")


def _plain(value: Any) -> Any:
    """A value as it compares with what a fresh form starts from."""
    if isinstance(value, list | tuple):
        return sorted(str(one) for one in value)
    if isinstance(value, Model):
        return value.pk
    return "" if value is None else value


def in_words(field: forms.Field, value: Any) -> str:
    """A value as the page shows it."""
    if value is None or value == "" or value == []:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        words = dict(getattr(field, "choices", ()))
        return ", ".join(str(words.get(one, one)) for one in value)
    if isinstance(value, Model):
        return str(value)
    if isinstance(field, forms.ModelChoiceField):
        return str(field.queryset.filter(pk=value).first())
    if isinstance(field, forms.ChoiceField):
        return str(dict(field.choices).get(value, value))
    return str(field.prepare_value(value))
