"""Forms of the catalog, built from the table of columns (columns.py)."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from catalog.columns import BY_NAME, COLOURS, DRAWS, FACTS, FUNCTIONS, LIMITS, Column
from catalog.datasheet import draw_problems, fact_problems, limit_problems
from catalog.fields import CodeField, TextField
from catalog.models import Part
from catalog.sheet_files import megabytes

# How the page groups the facts; every fact stands in one group.
SECTIONS = (
    ("What it is", ("kind", "description", "ownership", "datasheet", "note")),
    ("Supply and weight", (
        "supply_min_mv", "supply_max_mv", "drop_class", "mass_g", "device_kind", "conductor_awg"
    )),
    ("Price and time", (
        "list_price_cents", "cost_cents", "price_date", "lead_days", "labour_minutes"
    )),
    ("Fitting and after", ("check_group", "serial_tracked", "warranty_months")),
)  # fmt: skip


def _fields(columns: Iterable[Column]) -> dict[str, forms.Field]:
    return {column.field: column.read for column in columns}


class _FactsForm(forms.Form):
    def clean(self) -> dict[str, Any]:
        for field, sentence in fact_problems(self.cleaned_data):
            self.add_error(field, sentence)
        return self.cleaned_data

    def sections(self) -> list[tuple[str, list[forms.BoundField]]]:
        return [(title, [self[name] for name in names]) for title, names in SECTIONS]


class _RowForm(forms.Form):
    """One row of a table. A row without any figure or word counts as empty."""

    defaults: tuple[str, ...] = ()

    @property
    def changed_data(self) -> list[str]:
        return [name for name in super().changed_data if name not in self.defaults]

    def cells(self) -> list[forms.BoundField]:
        return [self[name] for name in self.base_fields]


class _DrawForm(_RowForm):
    defaults = ("load_model",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, words in (("function", "functions"), ("colour", "colours")):
            self.fields[name].widget.attrs |= {"list": words, "size": 9}

    def clean(self) -> dict[str, Any]:
        for field, sentence in draw_problems(self.cleaned_data):
            self.add_error(field, sentence)
        return self.cleaned_data


class _LimitForm(_RowForm):
    defaults = ("count",)

    def clean(self) -> dict[str, Any]:
        for field, sentence in limit_problems(self.cleaned_data):
            self.add_error(field, sentence)
        return self.cleaned_data


def _form(base: type[forms.Form], fields: dict[str, forms.Field]) -> type[forms.Form]:
    return type(base)(base.__name__.strip("_"), (base,), fields)


FactsForm = _form(_FactsForm, _fields(FACTS))
DrawForm = _form(_DrawForm, _fields(DRAWS))
LimitForm = _form(_LimitForm, _fields(LIMITS))


class CodeForm(forms.Form):
    """The one thing that only a new part is asked."""

    code = BY_NAME["code"].read

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"]
        if Part.objects.filter(code=code).exists():
            raise ValidationError(f"{code} is in the catalog already. Choose another code.")
        return code


class ReasonForm(forms.Form):
    """Which revision was looked at, and why there is to be another."""

    base_number = forms.IntegerField(min_value=1, max_value=32_767, widget=forms.HiddenInput)
    reason = TextField(
        label="Why this revision",
        most=200,
        required=False,
        help_text="For example: maker's sheet, issue 4. Stands in the history of the part.",
    )


class RetireForm(forms.Form):
    replacement = CodeField(
        label="Replaced by part",
        most=40,
        required=False,
        help_text="The code of the part to use instead, if there is one.",
    )

    def __init__(self, *args: Any, part: Part, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.part = part

    def clean_replacement(self) -> Part | None:
        code = self.cleaned_data["replacement"]
        if not code:
            return None
        found = Part.objects.filter(code=code).first()
        if found is None:
            raise ValidationError(f"{code} is not in the catalog.")
        if found == self.part:
            raise ValidationError(f"{code} cannot replace itself.")
        if found.retired:
            raise ValidationError(f"{code} is retired itself. Name a part that is in use.")
        return found


class ImportForm(forms.Form):
    file = forms.FileField(
        label="Sheet with parts",
        help_text="CSV or XLSX, at most 5 MB. Nothing is changed until you confirm the dry run.",
        error_messages={
            "required": "Choose a file.",
            "empty": "The file is empty (0 bytes).",
            "missing": "The file did not arrive. Choose it again.",
        },
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx,.tsv,.txt"}),
    )

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        most = settings.LARGEST_SHEET_BYTES
        if file.size > most:
            raise ValidationError(
                f"{file.name} has {megabytes(file.size)}; at most {megabytes(most)} are read."
            )
        return file


SUGGESTIONS = {"functions": FUNCTIONS, "colours": COLOURS}
