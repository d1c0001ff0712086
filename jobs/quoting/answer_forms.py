"""Forms about the customer's answer: to whom it is sent, what they say, what came on paper."""

from typing import Any

from django import forms

from jobs.intake.fields import DayField, PersonField, address_in, long_text
from jobs.intake.models import Contact, Job
from jobs.quoting.models import Decision
from jobs.quoting.words import money_words

SHORTEST_NAME = 3


class SendForm(forms.Form):
    """Whom the link is for. Somebody who may approve less than the price is refused."""

    contact = forms.ModelChoiceField(
        Contact.objects.none(), required=False, empty_label="Somebody else, named below"
    )
    # How many links there were when the page was made: a double click sends one.
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)
    other = PersonField(
        label="Name or e-mail of somebody else", most=160, required=False,
        help_text="To an e-mail address the link goes out by itself.",
    )  # fmt: skip

    def __init__(self, *args: Any, job: Job, total_cents: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.total_cents = total_cents
        contacts = job.agency.contacts.order_by("-may_approve", "name")
        field = self.fields["contact"]
        field.queryset = contacts  # type: ignore[attr-defined]
        field.label_from_instance = _contact_words  # type: ignore[attr-defined]
        field.initial = contacts.filter(may_approve=True).first()

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        contact = typed.get("contact")
        if contact is None:
            if not typed.get("other"):
                self.add_error("other", "Choose a contact or type who gets the link.")
        elif not contact.may_approve:
            self.add_error("contact", f"{contact.name} may not approve money for the agency.")
        elif contact.limit_cents is not None and contact.limit_cents < self.total_cents:
            limit, total = money_words(contact.limit_cents), money_words(self.total_cents)
            self.add_error("contact", f"{contact.name} may approve up to {limit}; this is {total}.")
        return typed

    @property
    def sent_to(self) -> str:
        contact = self.cleaned_data["contact"]
        return contact.name if contact else self.cleaned_data["other"]

    @property
    def email(self) -> str:
        contact = self.cleaned_data["contact"]
        if contact:
            return str(contact.email)
        return address_in(self.cleaned_data["other"])


def _contact_words(contact: Contact) -> str:
    role = f", {contact.role}" if contact.role else ""
    if not contact.may_approve:
        return f"{contact.name}{role} (may not approve)"
    limit = contact.limit_cents
    return f"{contact.name}{role}" + (f", up to {money_words(limit)}" if limit is not None else "")


class NameField(forms.CharField):
    """The typed name that stands for a signature."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("label", "Your full name")
        super().__init__(max_length=120, **kwargs)
        self.widget.attrs["autocomplete"] = "name"
        self.error_messages["required"] = "Type your full name. It stands for your signature."

    def clean(self, value: Any) -> str:
        name = " ".join(str(super().clean(value)).split())
        if len(name) < SHORTEST_NAME or not any(letter.isalpha() for letter in name):
            raise forms.ValidationError(f"'{name}' is not a full name.")
        return name


class ApproveForm(forms.Form):
    name = NameField()
    digest = forms.CharField(widget=forms.HiddenInput, max_length=64)


class ApproveChangeForm(ApproveForm):
    amendment = forms.CharField(label="Your order amendment number", max_length=40, required=False)
    field_order = ("name", "amendment", "digest")


class DeclineForm(forms.Form):
    name = NameField()
    comment = forms.CharField(
        label="What should change", max_length=2_000, widget=long_text(), required=False
    )
    digest = forms.CharField(widget=forms.HiddenInput, max_length=64)


class RecordForm(forms.Form):
    """An answer that came on paper or by order. The day on the paper counts for the validity."""

    answer = forms.ChoiceField(choices=Decision.Answer.choices, widget=forms.RadioSelect)
    name = NameField(label="Who signed")
    signed_on = DayField(label="Day on the paper", past=True)
    comment = forms.CharField(max_length=2_000, widget=long_text(), required=False)
    digest = forms.CharField(widget=forms.HiddenInput, max_length=64)


class RecordChangeForm(RecordForm):
    amendment = forms.CharField(label="Order amendment number", max_length=40, required=False)
    field_order = ("answer", "name", "signed_on", "amendment", "comment", "digest")
