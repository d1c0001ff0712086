"""The tables of a build file, their columns, and one row as cells.

A column is a form's field under the name people know: length_mm is typed in feet, so its column is
length_ft. One form therefore judges a typed value and an imported one.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet

from catalog.quantities import (
    AMPERE,
    AMPERE_HOUR,
    FOOT,
    HOUR,
    INCH,
    MILLIAMPERE,
    MILLIOHM,
    POUND,
    VOLT,
    QuantityField,
)
from jobs.build_sheet.exchange.forms import DutyRowForm, LoadRowForm
from jobs.build_sheet.kinds import KINDS
from jobs.build_sheet.models import AcSide, CircuitLoad, ModeDuty
from jobs.intake.models import Job
from jobs.intake.units.forms import UnitForm

SUFFIX = {
    AMPERE: "a",
    AMPERE_HOUR: "ah",
    FOOT: "ft",
    HOUR: "h",
    INCH: "in",
    MILLIAMPERE: "ma",
    MILLIOHM: "mohm",
    POUND: "lb",
    VOLT: "v",
}
# Of the forms, not of the row.
HIDDEN = ("version", "kept")
Cells = dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """`key` names the columns that say which row is meant; equal keys are told apart by order."""

    name: str
    form: Any
    key: tuple[str, ...]
    rows: Callable[[Job], QuerySet[Any]]

    @property
    def columns(self) -> dict[str, str]:
        """Column name by field name."""
        fields = self.form.base_fields
        return {name: column_of(name, fields[name]) for name in fields if name not in HIDDEN}


def column_of(name: str, field: forms.Field) -> str:
    if isinstance(field, QuantityField):
        return f"{name.rsplit('_', 1)[0]}_{SUFFIX[field.unit]}"
    return name


def _table(name: str, kind: str, key: str, related: str) -> Table:
    return Table(
        name=name,
        form=KINDS[kind].form,
        key=(key,) if key else (),
        rows=lambda job: getattr(job, related).all(),
    )


# In the order in which rows can point at each other.
TABLES = (
    Table(name="units", form=UnitForm, key=("number",), rows=lambda job: job.units.order_by("id")),
    _table("supplies", "supply", "ref", "supplies"),
    _table("feeds", "feed", "ref", "feeds"),
    _table("lines", "line", "ref", "lines"),
    _table("nodes", "node", "ref", "nodes"),
    _table("circuits", "circuit", "ref", "circuits"),
    Table(
        name="loads",
        form=LoadRowForm,
        key=("circuit", "line", "function"),
        rows=lambda job: CircuitLoad.objects.filter(circuit__job=job).order_by(
            "circuit__ref", "id"
        ),
    ),
    _table("modes", "mode", "key", "modes"),
    Table(
        name="duty",
        form=DutyRowForm,
        key=("mode", "circuit"),
        rows=lambda job: ModeDuty.objects.filter(mode__job=job).order_by(
            "mode__position", "circuit__ref"
        ),
    ),
    _table("pass_throughs", "opening", "ref", "pass_throughs"),
    _table("payload", "payload", "description", "payload"),
    Table(
        name="ac", form=KINDS["ac"].form, key=(), rows=lambda job: AcSide.objects.filter(job=job)
    ),
    _table("branches", "branch", "ref", "ac_branches"),
    _table("bonds", "bond", "name", "neutral_bonds"),
)
TABLE_BY_NAME = {table.name: table for table in TABLES}


def name_of(row: Any) -> str:
    """What a file calls a row that another row points at."""
    return str(getattr(row, "ref", "") or getattr(row, "key", "") or row)


def cells_of(table: Table, row: Any, job: Job) -> Cells:
    """A row as a build file holds it: trade units, references by name, None for not entered."""
    form = table.form(instance=row, job=job)
    return {
        column: _cell(form.fields[name], form[name].initial, row, name)
        for name, column in table.columns.items()
    }


def _cell(field: forms.Field, value: Any, row: Any, name: str) -> Any:
    if isinstance(field, forms.ModelMultipleChoiceField):
        return [name_of(each) for each in getattr(row, name).all()]
    if isinstance(field, forms.ModelChoiceField):
        target = getattr(row, name, None)
        return None if target is None else name_of(target)
    if isinstance(field, QuantityField) and value is not None:
        return _plain(field.unit.to_shown(value))
    return None if value == "" else _plain(value)


def _plain(value: Any) -> Any:
    """Decimals as the JSON number they are written as."""
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    return value
