"""The form of a pass-through."""

from decimal import Decimal
from typing import Any

from django import forms

from catalog.fields import RowsField
from catalog.quantities import INCH, QuantityField
from jobs.build_sheet.forms import JobForm
from jobs.build_sheet.opening_models import PassThrough


class PassThroughForm(JobForm):
    bore_mm = QuantityField(
        INCH,
        label="Clear diameter",
        least=Decimal("0.1"),
        most=12,
        required=False,
        help_text="Inside the grommet or gland.",
    )

    class Meta:
        model = PassThrough
        fields = ("ref", "name", "bore_mm", "feeds", "circuits")
        field_classes = {"feeds": RowsField, "circuits": RowsField}
        labels = {"feeds": "Feeds through it", "circuits": "Circuits through it"}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("feeds", "circuits"):
            field = self.fields[name]
            field.widget = forms.CheckboxSelectMultiple(choices=field.choices)  # type: ignore[attr-defined]
