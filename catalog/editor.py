"""The page that makes or revises a part: one form for the facts, rows for the two tables.

Works without JavaScript: "Add row" posts the page and gets it back with what was typed and more
empty rows. Nothing is checked on the way, so half-typed figures survive.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory

from catalog.columns import DRAW_KEY, LIMIT_KEY
from catalog.datasheet import Datasheet, draw_name, key_of, limit_name, table_of
from catalog.forms import CodeForm, DrawForm, FactsForm, LimitForm, ReasonForm

EMPTY_ROWS = 3
MOST_ROWS = 60


class RowSet(BaseFormSet):
    """Rows that may be emptied or ticked for removal. None is ever required."""

    key_fields: tuple[str, ...] = ()
    default_error_messages = {
        "missing_management_form": "The rows did not arrive completely. Load the page again.",
        "too_many_forms": "There are more than %(num)d rows.",
    }

    def initial_form_count(self) -> int:
        """Rows are compared by key, not by place, so none of them counts as an old one."""
        return 0

    def total_form_count(self) -> int:
        if self.is_bound:
            return super().total_form_count()
        return min(len(self.initial or ()) + EMPTY_ROWS, MOST_ROWS)

    def kept(self) -> Iterator[forms.Form]:
        for form in self.forms:
            if form.has_changed() and not form.cleaned_data.get("DELETE"):
                yield form

    def clean(self) -> None:
        """No two rows may be about the same thing."""
        rows: dict[tuple[str, ...], int] = {}
        for number, form in enumerate(self.forms, start=1):
            if not form.is_valid() or not form.has_changed() or form.cleaned_data["DELETE"]:
                continue
            key = key_of(form.cleaned_data, self.key_fields)
            if key in rows:
                form.add_error(
                    self.key_fields[0], f"{self.named(key)} stands in row {rows[key]} already."
                )
            rows.setdefault(key, number)

    @staticmethod
    def named(key: tuple[str, ...]) -> str:
        raise NotImplementedError

    def rows(self) -> Iterable[dict[str, Any]]:
        for form in self.kept():
            yield {name: form.cleaned_data[name] for name in form.base_fields}

    def typed(self) -> list[dict[str, Any]]:
        """What stands in the entries now, checked or not; empty rows left out."""
        return [_typed(form) for form in self.forms if form.has_changed()]


class DrawRows(RowSet):
    key_fields = DRAW_KEY
    named = staticmethod(draw_name)


class LimitRows(RowSet):
    key_fields = LIMIT_KEY
    named = staticmethod(limit_name)


def _rows(form: type[forms.Form], rows: type[RowSet]) -> type[BaseFormSet]:
    return formset_factory(
        form,
        formset=rows,
        can_delete=True,
        max_num=MOST_ROWS,
        absolute_max=MOST_ROWS,
        validate_max=True,
    )


DrawSet = _rows(DrawForm, DrawRows)
LimitSet = _rows(LimitForm, LimitRows)


def _typed(form: forms.Form) -> dict[str, Any]:
    return {name: form[name].data for name in form.fields}


class PartEditor:
    """All forms of the page as one: bound with `data`, or showing a datasheet."""

    def __init__(
        self, data: Any = None, *, new: bool, sheet: Datasheet | None = None, base_number: int = 0,
        reason: str = "",
    ) -> None:  # fmt: skip
        facts = sheet.facts if sheet else None
        self.facts = FactsForm(data, initial=facts, use_required_attribute=False)
        about = {"base_number": base_number, "reason": reason}
        kind = CodeForm if new else ReasonForm
        self.about = kind(data, initial=about, use_required_attribute=False)
        self.draws = DrawSet(data, prefix="draws", initial=_list(sheet and sheet.draws))
        self.limits = LimitSet(data, prefix="limits", initial=_list(sheet and sheet.limits))

    @property
    def parts(self) -> tuple[Any, ...]:
        return (self.about, self.facts, self.draws, self.limits)

    def is_valid(self) -> bool:
        return all(part.is_valid() for part in self.parts)

    def datasheet(self) -> Datasheet:
        return Datasheet(
            facts=dict(self.facts.cleaned_data),
            draws=table_of(self.draws.rows(), DRAW_KEY),
            limits=table_of(self.limits.rows(), LIMIT_KEY),
        )

    def with_more_rows(self) -> "PartEditor":
        """The same page, unchecked, with three empty rows at the end of each table."""
        again = PartEditor(new=isinstance(self.about, CodeForm))
        again.about.initial = _typed(self.about)
        again.facts.initial = _typed(self.facts)
        again.draws.initial = self.draws.typed()
        again.limits.initial = self.limits.typed()
        return again

    def problems(self) -> Iterator[tuple[str, str]]:
        """(id of the entry, sentence) for the summary on top of the page."""
        for form in (self.about, self.facts):
            yield from _problems(form, "")
        for rows, word in ((self.draws, "Current row"), (self.limits, "Limit row")):
            yield from (("", error) for error in rows.non_form_errors())
            for number, form in enumerate(rows.forms, start=1):
                if form in rows.deleted_forms:
                    continue
                yield from _problems(form, f"{word} {number}, ")


def _list(table: dict[Any, dict[str, Any]] | None) -> list[dict[str, Any]]:
    return list(table.values()) if table else []


def _problems(form: forms.Form, where: str) -> Iterator[tuple[str, str]]:
    for name, errors in form.errors.items():
        for error in errors:
            if name in form.fields:
                yield form[name].auto_id, f"{where}{form[name].label}: {error}"
            else:
                yield "", f"{where}{error}"
