"""The form of one check template. Which fields it has depends on what the check is made for."""

from typing import Any

from django import forms

from catalog.fields import CodeField
from inspections.checklists.fills import explained, from_words, to_words
from inspections.checklists.models import Check
from inspections.checklists.standard_design import BOUNDS
from inspections.checklists.template_models import CheckTemplate
from jobs.models import StageTemplate
from jobs.stages.actions import ensure_templates

WORDS = ("title", "area", "stage", "made_in", "instruction")
ANSWER = ("kind", "unit_of_measure", "low", "high", "expected_text")
WEIGHT = ("photo_required", "critical", "coverage", "sample_percent", "coverage_reason")
# Of a check made for each of a kind, what the design fills in cannot be typed.
FILLED = {
    "feed.device": ANSWER,
    "feed.joint": ANSWER,
    "circuit.device": ANSWER,
    "circuit.polarity": ANSWER[:4],
    "circuit.volts": ANSWER,
    "circuit.current": ANSWER,
    "timer": ANSWER,
    "door": ANSWER[:4],
    "lamp": ANSWER,
    "crimp": ANSWER,
    "keyoff": ANSWER,
    "axle": ANSWER,
}
SPREAD = {
    "feed.joint": ("spread_least",),
    "circuit.volts": ("spread_percent", "spread_least", "bound"),
    "circuit.current": ("spread_percent", "spread_least"),
    "timer": ("spread_percent", "spread_least", "bound"),
    "keyoff": ("spread_least", "bound"),
    "axle": ("spread_percent", "spread_least"),
}
FILLED_IN = ("title", "instruction")
SAMPLED = ("circuit.volts", "circuit.current")


class CheckTemplateForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = CheckTemplate
        fields = (
            *("group", *WORDS, *ANSWER, "spread_percent", "spread_least", "bound"),
            *(*WEIGHT, "authority", "retired", "note"),
        )
        widgets = {"instruction": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "made_in": "Whoever worked in this stage cannot do the check.",
            "group": "Empty: every unit has it.",
            "sample_percent": "Counts for a sample only. After a failure, and on the first unit of "
            "a fleet, all of them are checked.",
            "authority": "A document and clause; empty: common practice, no source.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        code = self.instance.code
        from_design = self.instance.source == CheckTemplate.Source.DESIGN
        gone = set(FILLED.get(code, ())) | {"spread_percent", "spread_least", "bound"}
        gone -= set(SPREAD.get(code, ()))
        if from_design:
            gone.add("group")
            if code not in SAMPLED:
                gone |= {"coverage", "sample_percent"}
        for name in gone:
            del self.fields[name]
        ensure_templates()
        stages = [(one.code, str(one)) for one in StageTemplate.objects.all()]
        self.fields["stage"] = forms.ChoiceField(label="Checked in stage", choices=stages)
        self.fields["made_in"] = forms.ChoiceField(
            label="Made in stage",
            choices=[("", "Nowhere in particular"), *stages],
            required=False,
            help_text=self.Meta.help_texts["made_in"],
        )
        if "bound" in self.fields:
            self.fields["bound"].label = BOUNDS[code]
        self.fields["note"].required = bool(self.instance.pk)
        if not self.instance.pk:
            for name in ("note", "retired"):
                del self.fields[name]
        for name in FILLED_IN:
            self.initial[name] = to_words(code, self.initial.get(name) or "")
            if from_design:
                self.fields[name].help_text = explained(code)

    def clean_title(self) -> str:
        return self._from_words("title")

    def clean_instruction(self) -> str:
        return self._from_words("instruction")

    def _from_words(self, name: str) -> str:
        """What the design fills in, as it is stored."""
        try:
            return from_words(self.instance.code, self.cleaned_data[name])
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        low, high = data.get("low"), data.get("high")
        if low is not None and high is not None and low > high:
            self.add_error("high", f"At most {high:g} is below at least {low:g}.")
        reading = data.get("kind") == Check.Kind.READING
        if reading and low is None and high is None:
            self.add_error("low", "A reading needs at least one limit.")
        if reading and not data.get("unit_of_measure"):
            self.add_error("unit_of_measure", "A reading needs its unit.")
        if "kind" in data and not data.get("expected_text"):
            self.add_error("expected_text", "Say what is expected.")
        return data


class NewTemplateForm(CheckTemplateForm):
    code = CodeField(
        label="Code",
        most=16,
        help_text="Stands before every such check, for example BODY.PAINT.",
    )
    field_order = ("code", "title", "group")

    def clean_code(self) -> str:
        code = str(self.cleaned_data["code"])
        if CheckTemplate.objects.filter(code__iexact=code).exists():
            raise forms.ValidationError(f"{code} is taken. Choose another code.")
        return code
