"""Forms of planning: what the shop has, a question what would be, a promise to check."""

from datetime import date
from typing import Any

from django import forms
from django.utils import timezone

from catalog.quantities import HOUR, QuantityField
from jobs.intake.fields import DayField, long_text, whole
from jobs.intake.guard import GuardedForm
from jobs.intake.models import Job
from jobs.planning.models import PlanResource, PlanSettings

MOST_FREE = 200


class CodesField(forms.CharField):
    """Stage codes with blanks between them."""

    def prepare_value(self, value: Any) -> Any:
        return " ".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        return [code.upper() for code in super().clean(value).replace(",", " ").split()]


class ResourceForm(GuardedForm):
    capacity = whole("How many at once", least=0, most=200)
    stages = CodesField(
        required=False,
        max_length=200,
        help_text="Codes of the stages that need one of it, for example S2 S3. Empty: all stages.",
    )

    class Meta:
        model = PlanResource
        fields = ("name", "capacity", "stages")


class FreeDaysField(forms.CharField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=4_000, widget=long_text(), **kwargs)

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value

    def clean(self, value: Any) -> Any:
        days = set()
        for line in super().clean(value).split():
            try:
                days.add(date.fromisoformat(line))
            except ValueError:
                words = f"{line[:20]} is not a date. Type year-month-day, one a line."
                raise forms.ValidationError(words) from None
        if len(days) > MOST_FREE:
            raise forms.ValidationError(f"{len(days)} free days; the most is {MOST_FREE}.")
        return [str(day) for day in sorted(days)]


class SettingsForm(GuardedForm):
    day_minutes = QuantityField(HOUR, label="Hours worked a day", least=1, most=24)
    free_days = FreeDaysField(
        label="Days without work",
        help_text="Besides Saturdays and Sundays; one a line, 2026-12-25.",
    )

    class Meta:
        model = PlanSettings
        fields = ("day_minutes", "free_days")


class QuestionForm(forms.Form):
    """What if there were more of something, or one job less. All empty: the shop as it is."""

    resource = forms.ModelChoiceField(
        PlanResource.objects.all(), required=False, empty_label="Nothing more", label="More of"
    )
    extra = forms.IntegerField(
        label="How many more, or fewer with a minus sign", required=False, min_value=-50,
        max_value=50, widget=forms.TextInput(attrs={"inputmode": "numeric", "size": 6}),
    )  # fmt: skip
    without = forms.CharField(
        label="Without job", max_length=20, required=False,
        widget=forms.TextInput(attrs={"size": 12}),
    )  # fmt: skip

    def clean_without(self) -> str:
        """The job as it is written, however it was typed."""
        number = str(self.cleaned_data["without"]).strip()
        job = Job.objects.filter(number__iexact=number).first() if number else None
        if number and job is None:
            raise forms.ValidationError(f"There is no job {number}.")
        return job.number if job else ""

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        if typed.get("resource") and not typed.get("extra") and "extra" not in self.errors:
            self.add_error("extra", f"Type how many more or fewer of {typed['resource']}.")
        return typed

    def question(self) -> dict[str, Any]:
        typed = self.cleaned_data
        more = {}
        if typed["resource"] and typed["extra"]:
            more = {typed["resource"].name: typed["extra"]}
        return {"without": typed["without"], "more": more}


class PromiseForm(forms.Form):
    job = forms.CharField(
        label="Job, or one like it", max_length=20, widget=forms.TextInput(attrs={"size": 12}),
        help_text="Its build sheet says how many hours each stage takes.",
    )  # fmt: skip
    units = whole("Units", least=1, most=20, initial=1)
    not_before = DayField(label="Vehicle and order here on", coming=True)
    wished = DayField(label="Wanted by", coming=True)

    def clean_job(self) -> Job:
        number = self.cleaned_data["job"].strip()
        job = Job.objects.filter(number__iexact=number).first()
        if job is None:
            raise forms.ValidationError(f"There is no job {number}.")
        return job

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        first, last = typed.get("not_before"), typed.get("wished")
        if first and last and last < first:
            self.add_error("wished", "It is wanted before its vehicle is here.")
        if last and (last - timezone.localdate()).days > 3 * 365:
            self.add_error("wished", "More than three years ahead nothing can be said.")
        return typed
