"""The cells of the weight sheet that are changed in place."""

from typing import Any

from django import forms

from catalog.quantities import INCH, POUND, QuantityField
from jobs.build_sheet.forms import JobForm
from jobs.build_sheet.line_models import BuildLine, Payload


class WeightCellForm(JobForm):
    kind = ""
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600, required=False)

    def __init__(self, *args: Any, where: str = "", **kwargs: Any) -> None:
        """`where` is the row's address: a changed cell asks there what the change would do."""
        super().__init__(*args, **kwargs)
        key = f"{self.kind}-{self.instance.pk}"
        for field in self.fields.values():
            field.widget.attrs |= {
                "form": f"edit-{key}",
                "aria-label": f"{field.label} of {self.instance}",
                "hx-post": where,
                "hx-trigger": "change",
                "hx-include": f"[form='edit-{key}']",
                "hx-vals": '{"preview": "1"}',
                "hx-target": f"#effect-{key}",
            }
        self.fields["x_mm"].widget.attrs["autofocus"] = True


class LineCellForm(WeightCellForm):
    kind = "line"
    y_mm = QuantityField(INCH, label="Right of the centre line", least=-80, most=80, required=False)

    class Meta:
        model = BuildLine
        fields = ("x_mm", "y_mm")


class PayloadCellForm(WeightCellForm):
    kind = "payload"
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600)
    quantity = forms.IntegerField(label="Quantity", min_value=1, max_value=999)
    mass_g = QuantityField(POUND, label="Weight each", most=10_000)

    class Meta:
        model = Payload
        fields = ("quantity", "mass_g", "x_mm")


CELL_FORMS = {form.kind: form for form in (LineCellForm, PayloadCellForm)}
