"""Forms of buying: suppliers, sending, receiving, picking, counting, substitutes."""

from typing import Any

from django import forms

from jobs.build_sheet.models import BuildLine
from jobs.buying.models import Supplier
from jobs.changes.edits import EditError, current_part
from jobs.intake.fields import DayField, long_text, whole
from jobs.intake.filters import search_field
from jobs.intake.guard import GuardedForm

MOST = 100_000


class SupplierForm(GuardedForm):
    class Meta:
        model = Supplier
        fields = ("name", "email", "phone", "note")
        widgets = {"note": long_text()}


class PartFilter(forms.Form):
    q = search_field("Part code or description")


class OrderForm(forms.Form):
    """Which of the listed parts to order, and from whom where that is not known yet."""

    supplier = forms.ModelChoiceField(
        Supplier.objects.all(),
        required=False,
        empty_label="As before",
        help_text="For parts that were never bought, and to change from whom.",
    )


class SendForm(forms.Form):
    expected_on = DayField(label="Expected on", required=False, coming=True)
    version = forms.IntegerField(widget=forms.HiddenInput)


class SerialsField(forms.CharField):
    """Serial numbers, one a line."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=4_000, widget=long_text(2), **kwargs)

    def clean(self, value: Any) -> Any:
        lines = [line.strip() for line in super().clean(value).splitlines() if line.strip()]
        too_long = next((line for line in lines if len(line) > 120), None)
        if too_long:
            raise forms.ValidationError(f"{too_long[:40]}... is longer than 120 characters.")
        return lines


class ReceiveForm(forms.Form):
    pieces = whole("Pieces that came", least=1, most=MOST)
    serials = SerialsField(label="Serial numbers", help_text="One a line, as read on the piece.")
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)


class PickForm(forms.Form):
    pieces = whole("Pieces", least=1, most=MOST)
    serials = SerialsField(label="Serial numbers", help_text="One a line, as read on the piece.")
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0)


class CountForm(forms.Form):
    found = whole("Pieces found", most=MOST)
    note = forms.CharField(max_length=200, required=False)
    seen = forms.IntegerField(widget=forms.HiddenInput)


class SubstituteForm(forms.Form):
    part_code = forms.CharField(label="Part in its place", max_length=40)
    reason = forms.CharField(label="Why, and who agreed", max_length=200)
    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, line: BuildLine, **kwargs: Any) -> None:
        self.line = line
        super().__init__(*args, **kwargs)

    def clean_part_code(self) -> str:
        code = str(self.cleaned_data["part_code"]).strip()
        try:
            part = current_part(code)
        except EditError as error:
            raise forms.ValidationError(str(error)) from None
        if part.part_id == self.line.part.part_id:
            raise forms.ValidationError(f"{part.part.code} is on the line already.")
        return part.part.code
