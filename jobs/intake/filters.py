"""Filters of the long lists, kept in the address. Pages continue after a row, never by counting."""

from datetime import date
from typing import Any

from django import forms
from django.db.models import DateField, Exists, OuterRef, Q, QuerySet, Value
from django.db.models.functions import Coalesce

from jobs.audit.models import AuditEvent
from jobs.intake.fields import DayField
from jobs.intake.models import Agency, Job, Unit

OVER = (Job.State.DELIVERED, Job.State.CANCELLED)
# Stands for "no date" when jobs are sorted by promised date: undated ones come last.
NO_DATE = date(9999, 12, 31)


def search_field(label: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=100,
        required=False,
        widget=forms.TextInput(attrs={"type": "search", "size": 28}),
    )


class AgencyFilter(forms.Form):
    q = search_field("Name or place")
    after = forms.CharField(max_length=160, required=False, widget=forms.HiddenInput)

    def rows(self) -> QuerySet[Agency]:
        text, after = self.cleaned_data["q"], self.cleaned_data["after"]
        rows = Agency.objects.order_by("name")
        if text:
            rows = rows.filter(Q(name__icontains=text) | Q(place__icontains=text))
        return rows.filter(name__gt=after) if after else rows


class JobFilter(forms.Form):
    STATES = [("", "Open jobs"), ("all", "All jobs"), *Job.State.choices]
    SORTS = [("", "Promised date"), ("newest", "Newest first")]

    q = search_field("Job, unit, VIN, vehicle or agency")
    state = forms.ChoiceField(choices=STATES, required=False)
    sort = forms.ChoiceField(label="Order", choices=SORTS, required=False)
    agency = forms.ModelChoiceField(Agency.objects.all(), required=False, widget=forms.HiddenInput)
    after = forms.CharField(max_length=40, required=False, widget=forms.HiddenInput)

    def clean_after(self) -> tuple[date, int] | None:
        """The last row of the page before: its promised date and its key."""
        typed = self.cleaned_data["after"]
        if not typed:
            return None
        day, _, key = typed.partition("_")
        try:
            # Keys are 64 bits wide; a longer number cannot be one and no database takes it.
            return date.fromisoformat(day), min(int(key), 2**63 - 1)
        except ValueError:
            raise forms.ValidationError(
                f"The list cannot go on after {typed!r}. Start again at its top."
            ) from None

    @staticmethod
    def cursor(job: Job) -> str:
        return f"{job.promised_on or NO_DATE}_{job.pk}"

    def rows(self) -> QuerySet[Job]:
        data = self.cleaned_data
        rows = Job.objects.select_related("agency")
        if data["state"] == "":
            rows = rows.exclude(state__in=OVER)
        elif data["state"] != "all":
            rows = rows.filter(state=data["state"])
        if data["agency"]:
            rows = rows.filter(agency=data["agency"])
        if data["q"]:
            rows = rows.filter(_job_matches(data["q"]))
        return self._in_order(rows)

    def _in_order(self, rows: QuerySet[Job]) -> QuerySet[Job]:
        after = self.cleaned_data["after"]
        if self.cleaned_data["sort"] == "newest":
            rows = rows.order_by("-id")
            return rows.filter(id__lt=after[1]) if after else rows
        due = Coalesce("promised_on", Value(NO_DATE, output_field=DateField()))
        rows = rows.annotate(due=due).order_by("due", "id")
        if not after:
            return rows
        day, key = after
        return rows.filter(Q(due__gt=day) | Q(due=day, id__gt=key))


def _job_matches(text: str) -> Q:
    units = Unit.objects.filter(job=OuterRef("pk")).filter(
        Q(number__icontains=text) | Q(vin__icontains=text)
    )
    return (
        Q(number__icontains=text)
        | Q(title__icontains=text)
        | Q(vehicle__icontains=text)
        | Q(agency__name__icontains=text)
        | Exists(units)
    )


class HistoryFilter(forms.Form):
    q = search_field("What happened")
    who = forms.CharField(
        max_length=150, required=False, widget=forms.TextInput(attrs={"size": 20})
    )
    since = DayField(label="From day", required=False)
    until = DayField(label="To day", required=False)
    after = forms.IntegerField(
        min_value=1, max_value=2**63 - 1, required=False, widget=forms.HiddenInput
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        since, until = data.get("since"), data.get("until")
        if since and until and until < since:
            self.add_error("until", f"{until:%-d %b %Y} is before {since:%-d %b %Y}.")
        return data

    def rows(self, job_number: str) -> QuerySet[AuditEvent]:
        """Events of one job, newest first. Keys grow with time, so they are the order."""
        data = self.cleaned_data
        rows = AuditEvent.objects.filter(job=job_number).order_by("-id")
        if data["q"]:
            rows = rows.filter(sentence__icontains=data["q"])
        if data["who"]:
            rows = rows.filter(who__icontains=data["who"])
        if data["since"]:
            rows = rows.filter(at__date__gte=data["since"])
        if data["until"]:
            rows = rows.filter(at__date__lte=data["until"])
        return rows.filter(pk__lt=data["after"]) if data["after"] else rows
