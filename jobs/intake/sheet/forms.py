"""Forms of the job itself: starting one, changing one."""

from typing import Any

from django import forms
from django.utils import timezone

from jobs.intake.fields import (
    AgencyNameField,
    DayField,
    agency_input,
    long_text,
    unknown_agency,
)
from jobs.intake.filters import OVER
from jobs.intake.guard import GuardedForm
from jobs.intake.models import Agency, Job


class JobForm(GuardedForm):
    """The agency may change while nothing has been offered to it."""

    agency = AgencyNameField(label="Agency")
    promised_on = DayField(label="Promised date", required=False)
    enquired_on = DayField(label="Asked on", required=False, past=True)

    class Meta:
        model = Job
        fields = ("agency", "title", "vehicle", "enquired_on", "promised_on", "note")
        labels = {"title": "What is built", "vehicle": "Vehicle"}
        help_texts = {
            "vehicle": "Kind and size of the vehicle, for example 1-ton high-roof van.",
        }
        widgets = {"note": long_text()}

    def __init__(self, *args: Any, instance: Job, **kwargs: Any) -> None:
        super().__init__(*args, instance=instance, **kwargs)
        if instance.state != Job.State.ENQUIRY:
            del self.fields["agency"]

    def values(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in self._guarded()}

    def clean_promised_on(self) -> Any:
        """A new date must not be past; one that stands may have passed meanwhile."""
        day = self.cleaned_data["promised_on"]
        today = timezone.localdate()
        if day and day != self.instance.promised_on and day < today:
            raise forms.ValidationError(f"{day:%-d %b %Y} is before today, {today:%-d %b %Y}.")
        return day


class JobNewForm(forms.Form):
    """Few entries: the agency by its name, what is built, when it is promised."""

    agency_name = forms.CharField(
        label="Agency",
        max_length=160,
        help_text="Type a few letters and choose.",
        widget=agency_input(),
    )
    new_agency = forms.BooleanField(
        label="This is a new agency", required=False, help_text="It is added with the job."
    )
    title = forms.CharField(
        label="What is built",
        max_length=160,
        help_text="As people in the shop will call it, for example Shore rescue van.",
    )
    vehicle = forms.CharField(label="Vehicle", max_length=160, required=False)
    promised_on = DayField(label="Promised date", required=False, coming=True)
    copy_from = forms.CharField(
        label="Copy requirements from job",
        max_length=20,
        required=False,
        widget=forms.TextInput(attrs={"size": 12, "autocomplete": "off"}),
        help_text="The number of an earlier job. They come over as open, to be confirmed anew.",
    )
    same_title_is_meant = forms.BooleanField(
        label="Make a second job with this name", required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.twin: Job | None = None

    def clean_copy_from(self) -> Job | None:
        number = self.cleaned_data["copy_from"].strip()
        if not number:
            return None
        job = Job.objects.filter(number__iexact=number).first()
        if job is None:
            raise forms.ValidationError(f"There is no job {number}.")
        return job

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        name = " ".join(data.get("agency_name", "").split())
        if not name:
            return data
        data["agency_name"] = name
        data["agency"] = Agency.objects.filter(name__iexact=name).first()
        if data["agency"]:
            self._check_twin(data)
        elif not data.get("new_agency"):
            self.add_error("agency_name", f"{unknown_agency(name)} For a new one, say so below.")
        return data

    def _check_twin(self, data: dict[str, Any]) -> None:
        title = data.get("title")
        if not title or data.get("same_title_is_meant"):
            return
        open_jobs = Job.objects.filter(agency=data["agency"]).exclude(state__in=OVER)
        self.twin = open_jobs.filter(title__iexact=title).first()
        if self.twin:
            self.add_error(
                "title",
                f"{data['agency'].name} has an open job {self.twin.number} with this name. "
                "Open that one, or say below that a second job is meant.",
            )

    @property
    def asks_about_twin(self) -> bool:
        """Show the question only to somebody who met the twin or has answered already."""
        return self.twin is not None or bool(self.data.get("same_title_is_meant"))


class ReasonForm(forms.Form):
    reason = forms.CharField(label="Why", max_length=300, widget=long_text(2))
