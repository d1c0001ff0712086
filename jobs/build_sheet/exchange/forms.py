"""Forms of rows that pages edit as part of another row, but a build file holds on their own."""

from typing import Any

from django import forms

from jobs.build_sheet.models import BuildLine, Circuit, CircuitLoad, ModeDuty, OperatingMode
from jobs.intake.models import Job


class JobRowForm(forms.ModelForm):  # type: ignore[type-arg]
    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, forms.ModelChoiceField):
                field.queryset = field.queryset.filter(job=job)


class LoadRowForm(JobRowForm):
    circuit = forms.ModelChoiceField(Circuit.objects.all())
    line = forms.ModelChoiceField(BuildLine.objects.all())
    quantity = forms.IntegerField(min_value=1, max_value=999, initial=1)
    function = forms.CharField(max_length=40, initial="on")

    class Meta:
        model = CircuitLoad
        fields = ("circuit", "line", "quantity", "function")


class DutyRowForm(JobRowForm):
    mode = forms.ModelChoiceField(OperatingMode.objects.all())
    circuit = forms.ModelChoiceField(Circuit.objects.all())
    percent = forms.DecimalField(min_value=0, max_value=100, decimal_places=1, initial=100)

    class Meta:
        model = ModeDuty
        fields = ("mode", "circuit")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.fields["percent"].initial = self.instance.permille / 10

    def save(self, commit: bool = True) -> ModeDuty:
        self.instance.permille = int(self.cleaned_data["percent"] * 10)
        return super().save(commit)
