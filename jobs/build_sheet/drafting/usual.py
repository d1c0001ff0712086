"""The usual rules: chosen, filled with the shop's numbers, looked at, then added at once."""

import re
from dataclasses import dataclass
from typing import Any

from django import forms

from jobs.build_sheet.drafting.document import KEYS, DraftError
from jobs.build_sheet.drafting.sentences import Line, lines_of
from jobs.controls.codec import to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.templates.apply import Parameter, Template, apply
from jobs.controls.templates.catalogue import TEMPLATES

SHOWN_FIRST = ("R19", "R06", "R24", "R04", "R17", "R30")


@dataclass(frozen=True, kw_only=True, slots=True)
class Usual:
    """A usual rule on the list, and whether this logic has it already."""

    key: str
    title: str
    why: str
    present: bool
    first: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Added:
    """What a usual rule would add to one part of the logic."""

    part: str
    lines: list[Line]


def usual_rules(logic: Logic) -> list[Usual]:
    """All usual rules, in the order of their numbers."""
    names = {rule.name for rule in logic.rules}
    outputs = {output.name for output in logic.outputs}
    found = []
    for key, template in TEMPLATES.items():
        absent = [name for name in template.after if name not in outputs]
        first = f"after the rule that drives {absent[0]}" if absent else ""
        # R06, R06 wail and R06a are all about the same usual rule; R061 is not.
        present = any(re.match(rf"{key}(?!\d)", name) for name in names)
        found.append(
            Usual(key=key, title=template.title, why=template.why, present=present, first=first)
        )
    return found


class UsualForm(forms.Form):
    """One field for each number or name that the shop may choose."""

    def __init__(self, *args: Any, template: Template, logic: Logic, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.template, self.logic = template, logic
        for parameter in template.parameters:
            self.fields[parameter.name] = _field(parameter)

    def clean(self) -> dict[str, Any]:
        """Each value within its limits, by the template's own judgement."""
        for parameter in self.template.parameters:
            try:
                parameter.read(self.cleaned_data.get(parameter.name) or _default(parameter))
            except LogicError as error:
                self.add_error(parameter.name, str(error))
        return self.cleaned_data

    def applied(self) -> Logic:
        """The logic with the rule added. Raises DraftError with the reason."""
        try:
            return apply(self.logic, self.template, self.cleaned_data)
        except LogicError as error:
            raise DraftError(str(error)) from error


def _default(parameter: Parameter) -> str:
    return parameter.text or f"{parameter.default:g}"


def _field(parameter: Parameter) -> forms.CharField:
    if parameter.text:
        text = "A name of this version, or a new one."
        attrs = {"list": "names", "autocomplete": "off"}
        widget = forms.TextInput(attrs=attrs)
        return forms.CharField(
            label=parameter.label, initial=parameter.text, max_length=40, help_text=text,
            widget=widget,
        )  # fmt: skip
    unit = f" ({parameter.unit})" if parameter.unit else ""
    limits = f"{parameter.low:g} to {parameter.high:g}{unit and ' ' + parameter.unit}"
    return forms.CharField(
        label=f"{parameter.label}{unit}",
        initial=f"{parameter.default:g}",
        max_length=20,
        help_text=f"{limits}. Common practice, no source.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "size": 10}),
    )


def added(before: Logic, after: Logic) -> list[Added]:
    """Entries that are new or changed, part by part, as sentences."""
    old, new = to_json(before), to_json(after)
    found = []
    for part, key in KEYS.items():
        had = {each[key]: each for each in old.get(part, [])}
        names = {each[key] for each in new.get(part, []) if had.get(each[key]) != each}
        lines = [line for line in lines_of(after, part) if line.name in names]
        if lines:
            found.append(Added(part=part, lines=lines))
    return found
