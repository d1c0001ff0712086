"""Forms of the handover."""

from typing import Any

from django import forms
from django.utils import timezone

from inspections.handover.models import Acceptance, PunchItem
from jobs.intake.fields import PersonField


class ReceiptForm(forms.Form):
    received_by = forms.CharField(label="Who takes the vehicle", max_length=120)
    odometer_mi = forms.IntegerField(label="Odometer (mi)", min_value=0, max_value=999_999)
    keys = forms.IntegerField(label="Keys handed over", min_value=0, max_value=50)
    condition = forms.CharField(
        label="Condition as it leaves", required=False, widget=forms.Textarea(attrs={"rows": 2})
    )


class TrainingForm(forms.Form):
    name = forms.CharField(label="Who was trained", max_length=120)
    topics = forms.CharField(max_length=300)
    on = forms.DateField(
        label="Date", widget=forms.DateInput(attrs={"type": "date"}), initial=timezone.localdate
    )

    def clean_on(self) -> Any:
        on = self.cleaned_data["on"]
        if on > timezone.localdate():
            raise forms.ValidationError(f"Date {on} is in the future.")
        return on


class SignForm(forms.Form):
    name = forms.CharField(label="Your name", max_length=120)

    def clean_name(self) -> str:
        if not (name := str(self.cleaned_data["name"]).strip()):
            raise forms.ValidationError("Type your name.")
        return name


class SendForm(forms.Form):
    sent_to = PersonField(
        label="Name or e-mail of the customer's authorised person", most=160,
        help_text="To an e-mail address the link goes out by itself.",
    )  # fmt: skip


class ItemForm(forms.ModelForm):
    """An open item: what, who does it, until when, and whether it bars acceptance."""

    class Meta:
        model = PunchItem
        fields = ("text", "owner", "due_on", "safety")
        labels = {"text": "Open item", "owner": "Who does it", "due_on": "Until"}
        widgets = {"due_on": forms.DateInput(attrs={"type": "date"})}
        help_texts = {"safety": "The customer cannot accept while it is open."}


class AcceptanceForm(forms.Form):
    """What the customer says, on a phone: a name, an answer, open items one a line."""

    name = forms.CharField(label="Your name", max_length=120)
    items = forms.CharField(
        label="Open items, one a line",
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Leave empty when nothing is open.",
    )
    comment = forms.CharField(
        label="Remark", required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    packet_sha256 = forms.CharField(widget=forms.HiddenInput, max_length=64)
    answer = forms.ChoiceField(
        choices=[(Acceptance.Answer.ACCEPTED, "Accept"), (Acceptance.Answer.REJECTED, "Reject")]
    )

    def clean_items(self) -> list[str]:
        most = PunchItem._meta.get_field("text").max_length
        lines = [line.strip() for line in self.cleaned_data["items"].splitlines() if line.strip()]
        for line in lines:
            if len(line) > most:
                raise forms.ValidationError(
                    f"An open item has {len(line)} letters; at most {most}: {line[:40]}…"
                )
        return lines
