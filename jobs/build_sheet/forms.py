"""Forms of the build sheet. People type ft, in, A, V and lb; rows keep mm, mA, mV and g."""

from typing import Any

from django import forms

from catalog.models import PartRevision
from catalog.quantities import HOUR, INCH, POUND, QuantityField
from jobs.build_sheet.line_models import BuildLine, Payload
from jobs.intake.models import Job

OF_THE_JOB = (
    "feed", "supply", "second_supply", "node", "line", "inverter_feed", "closed_links", "powers",
    "feeds", "circuits",
)  # fmt: skip


class JobForm(forms.ModelForm):  # type: ignore[type-arg]
    """A row that belongs to a job: its reference is unique there, its choices come from there."""

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        super().__init__(*args, **kwargs)
        self.instance.job = job
        for name, field in self.fields.items():
            if name in OF_THE_JOB:
                field.queryset = field.queryset.filter(job=job)  # type: ignore[attr-defined]
            elif self.instance.pk is None and field.initial is None:
                # A field declared by hand does not know its column's default.
                field.initial = getattr(self.instance, name, None)

    def clean_ref(self) -> str:
        """Capitals, unless the row has been called like this all along."""
        typed = str(self.cleaned_data["ref"]).strip()
        return self.once("ref", typed if typed == self.initial.get("ref") else typed.upper())

    def once(self, field: str, value: str) -> str:
        """The value, if no other row of this kind on the job has it."""
        rows = type(self.instance).objects.filter(job=self.job, **{field: value})
        if rows.exclude(pk=self.instance.pk).exists():
            raise forms.ValidationError(f"{value} is already used on job {self.job.number}.")
        return value


class LineForm(JobForm):
    part_code = forms.CharField(
        label="Part code",
        max_length=40,
        widget=forms.TextInput(attrs={"list": "part-codes", "autocomplete": "off"}),
        help_text="The code in the catalog; the line takes its current revision.",
    )
    quantity = forms.IntegerField(min_value=1, max_value=999)
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600, required=False)
    y_mm = QuantityField(INCH, label="Right of the centre line", least=-80, most=80, required=False)
    z_mm = QuantityField(INCH, label="Above the ground", least=0, most=250, required=False)

    added_minutes = QuantityField(
        HOUR, label="Hours added, whole line", least=-500, most=500, required=False,
        help_text="Besides the part's own; with a minus sign what is saved.",
    )  # fmt: skip

    class Meta:
        model = BuildLine
        fields = ("ref", "quantity", "section", "zone", "stage", "ownership", "access", "note")

    field_order = (
        "ref",
        "part_code",
        "quantity",
        "section",
        "zone",
        "x_mm",
        "y_mm",
        "z_mm",
        "stage",
        "added_minutes",
        "ownership",
        "access",
        "note",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.part_id:
            self.fields["part_code"].initial = self.instance.part.part.code
            for name in ("x_mm", "y_mm", "z_mm", "added_minutes"):
                self.fields[name].initial = getattr(self.instance, name)

    def clean_part_code(self) -> str:
        code = self.cleaned_data["part_code"].strip()
        self.revision = PartRevision.objects.filter(current_of__code__iexact=code).first()
        if self.revision is None:
            raise forms.ValidationError(f"Part code {code} is not in the catalog.")
        if self.revision.part.retired and self.revision.part_id != self._old_part():
            raise forms.ValidationError(f"Part {code} is retired; choose its replacement.")
        return code

    def _old_part(self) -> int | None:
        return self.instance.part.part_id if self.instance.part_id else None

    def save(self, commit: bool = True) -> BuildLine:
        line = self.instance
        # Changing anything else must not quietly move the line to a newer datasheet.
        if not line.part_id or line.part.part_id != self.revision.part_id:
            line.part = self.revision
        for name in ("x_mm", "y_mm", "z_mm"):
            setattr(line, name, self.cleaned_data[name])
        line.added_minutes = self.cleaned_data["added_minutes"] or 0
        return super().save(commit)


class PayloadForm(JobForm):
    mass_g = QuantityField(POUND, label="Weight each", most=10_000)
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600)

    class Meta:
        model = Payload
        fields = ("description", "quantity", "mass_g", "x_mm")
