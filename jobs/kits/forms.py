"""Forms about kits: making one, adding one, starting from an earlier job."""

from typing import Any

from django import forms

from jobs.controls.templates.catalogue import TEMPLATES
from jobs.intake.models import Job
from jobs.kits.models import Kit


class KitForm(forms.Form):
    code = forms.CharField(
        label="Kit code",
        max_length=20,
        widget=forms.TextInput(attrs={"size": 12, "autocomplete": "off"}),
        help_text="Short, as people call it in the shop, for example VAN-WARN.",
    )
    next_revision = forms.BooleanField(
        label="This is the next revision of that kit", required=False
    )
    name = forms.CharField(label="What it is", max_length=120)
    vehicle = forms.CharField(label="For which vehicles", max_length=120, required=False)
    note = forms.CharField(label="What is new", max_length=200, required=False)
    rules = forms.MultipleChoiceField(
        label="Usual control rules that it brings",
        choices=[(key, f"{key} {one.title}") for key, one in TEMPLATES.items()],
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def clean_code(self) -> str:
        return str(self.cleaned_data["code"]).strip().upper()

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        code = typed.get("code")
        if code and not typed.get("next_revision") and Kit.objects.filter(code=code).exists():
            words = f"There is a kit {code} already. Tick that this is its next revision."
            self.add_error("code", words)
        return typed


class KitAddForm(forms.Form):
    """Which kit to add; `seen` is how many the job had when the page was made."""

    kit = forms.ModelChoiceField(Kit.objects.none(), empty_label="Choose a kit", label="Kit to add")
    seen = forms.IntegerField(min_value=0, max_value=10_000, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kits = Kit.objects.filter(retired=False, revisions__isnull=False).distinct()
        field: Any = self.fields["kit"]
        field.queryset = kits
        field.label_from_instance = lambda kit: f"{kit.code} {kit.name}"


class StartFromForm(forms.Form):
    source = forms.CharField(
        label="Number of the earlier job",
        max_length=20,
        widget=forms.TextInput(attrs={"size": 12, "autocomplete": "off"}),
    )

    def clean_source(self) -> Job:
        number = self.cleaned_data["source"].strip()
        job = Job.objects.filter(number__iexact=number).first()
        if job is None:
            raise forms.ValidationError(f"There is no job {number}.")
        return job


class KitFilter(forms.Form):
    q = forms.CharField(
        label="Code, name or vehicle",
        max_length=100,
        required=False,
        widget=forms.TextInput(attrs={"type": "search", "size": 28}),
    )
