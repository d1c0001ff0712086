"""Forms of the defects room."""

from typing import Any

from django import forms

from catalog.fields import RowsField
from inspections.checklists.models import Check
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
        if defect.check_item.circuit_id:
            near = near.filter(circuit_id=defect.check_item.circuit_id)
        else:
            near = near.filter(area=defect.check_item.area)
        self.fields["retest"].queryset = near


class ConcessionForm(forms.Form):
    customer = forms.CharField(label="Customer who accepts it", max_length=120)
    reason = forms.CharField(label="Why it may stay", widget=forms.Textarea(attrs={"rows": 2}))
