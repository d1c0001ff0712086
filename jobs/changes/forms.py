"""Forms of what a change does to the build sheet, and of raising one at the vehicle."""

from typing import Any

from django import forms

from jobs.build_sheet.models import Section, Zone
from jobs.changes.edits import Edit, EditError, current_part
from jobs.intake.fields import long_text, whole
from jobs.intake.models import Job
from jobs.photos.forms import PhotosField
from jobs.quoting.models import ChangeOrder


class EditForm(forms.Form):
    OPS = [
        ("quantity", "Other quantity"),
        ("part", "Other part in its place"),
        ("add", "New build line"),
        ("remove", "Take a build line out"),
    ]
    op = forms.ChoiceField(label="What changes", choices=OPS)
    ref = forms.CharField(label="Build line", max_length=10, required=False,
                          widget=forms.TextInput(attrs={"size": 8, "list": "refs"}))  # fmt: skip
    part_code = forms.CharField(label="Part code", max_length=40, required=False)
    quantity = whole("Quantity", least=1, most=999, required=False)
    section = forms.ChoiceField(choices=[("", "–"), *Section.choices], required=False)
    zone = forms.ChoiceField(choices=[("", "–"), *Zone.choices], required=False)
    stage = forms.CharField(label="Fitted in stage", max_length=10, required=False)
    circuit = forms.CharField(label="On circuit", max_length=10, required=False)
    version = forms.IntegerField(widget=forms.HiddenInput)

    # What each kind of edit cannot do without.
    NEEDS = {
        "quantity": ("ref", "quantity"),
        "part": ("ref", "part_code"),
        "remove": ("ref",),
        "add": ("part_code", "quantity", "section", "zone"),
    }

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        for name in self.NEEDS.get(typed.get("op", ""), ()):
            if not typed.get(name) and name not in self.errors:
                self.add_error(name, "This kind of change needs it.")
        self.line = None
        if typed.get("ref") and typed.get("op") != "add":
            rows = self.job.lines.select_related("part__part")
            self.line = rows.filter(ref__iexact=typed["ref"].strip()).first()
            if self.line is None:
                self.add_error("ref", f"There is no build line {typed['ref']} on this job.")
        if typed.get("part_code") and typed.get("op") in ("part", "add"):
            try:
                current_part(typed["part_code"].strip())
            except EditError as error:
                self.add_error("part_code", str(error))
        return typed

    def edit(self) -> Edit:
        typed = self.cleaned_data
        op = typed["op"]
        if op == "add":
            names = ("part_code", "quantity", "section", "zone", "stage", "circuit")
            return {"op": op, **{name: typed[name] for name in names}}
        assert self.line is not None
        if op == "quantity":
            was, to = self.line.quantity, typed["quantity"]
            return {"op": op, "ref": self.line.ref, "from": was, "to": to}
        if op == "part":
            was = self.line.part.part.code
            return {"op": op, "ref": self.line.ref, "from": was, "part_code": typed["part_code"]}
        return {"op": op, "ref": self.line.ref}


class RaiseForm(forms.Form):
    title = forms.CharField(label="What was found, or what is wanted", max_length=160)
    reason = forms.ChoiceField(
        choices=ChangeOrder.Reason.choices, initial=ChangeOrder.Reason.DISCOVERY
    )
    note = forms.CharField(label="More", max_length=1_000, required=False, widget=long_text(2))
    photos = PhotosField(label="Photo", camera=True, most=1, required=False)
    hold = forms.BooleanField(
        label="This stage waits until it is answered", required=False, initial=False
    )
