"""Forms of the defects room."""

from collections.abc import Sequence
from typing import Any

from django import forms

from catalog.fields import RowsField
from inspections.checklists.models import Check
from inspections.defects.containment import Touched
from inspections.defects.models import Defect


class DefectForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = Defect
        fields = ("cause", "cause_text", "containment", "disposition", "rework_text")
        widgets = {
            "cause_text": forms.Textarea(attrs={"rows": 2}),
            "containment": forms.Textarea(attrs={"rows": 3}),
            "rework_text": forms.Textarea(attrs={"rows": 2}),
        }


class ReworkForm(forms.Form):
    retest = RowsField(
        label="Checks disturbed by the rework",
        queryset=Check.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Each of them is opened again. The failed check always is.",
    )

    def __init__(self, *args: Any, defect: Defect, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        near = Check.objects.filter(unit=defect.unit, retired=False, state="pass")
        circuit = defect.check_item.circuit
        if circuit is not None:
            near = near.filter(circuit__feed_id=circuit.feed_id)
            self.fields["retest"].initial = near.filter(circuit=circuit)
        else:
            near = near.filter(area=defect.check_item.area)
        self.fields["retest"].queryset = near.order_by("position")


class ContainForm(forms.Form):
    checks = RowsField(
        label="Check again",
        queryset=Check.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Choose at least one check."},
    )

    def __init__(self, *args: Any, touched: Sequence[Touched], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        keys = [check.pk for group in touched for check in group.checks]
        self.fields["checks"].queryset = Check.objects.filter(pk__in=keys).select_related("unit")


class ConcessionForm(forms.Form):
    customer = forms.CharField(label="Customer who accepts it", max_length=120)
    reason = forms.CharField(label="Why it may stay", widget=forms.Textarea(attrs={"rows": 2}))
