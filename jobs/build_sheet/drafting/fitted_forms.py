"""Forms of what is fitted and wired: lamp heads with their patterns, colours, nodes, wires."""

from typing import Any

from django import forms

from jobs.build_sheet.drafting.entry_form import EntryForm, words
from jobs.build_sheet.drafting.fields import (
    ChannelsField,
    CurrentField,
    ExpressionField,
    ListField,
    UnsafeField,
    WholeField,
)
from jobs.build_sheet.line_models import Zone


class ProfileForm(EntryForm):
    zone = forms.ChoiceField(choices=Zone.choices)
    colours = ListField(label="Colours allowed", help_text="red, white, amber")


class PatternForm(forms.Form):
    name = words("Pattern", most=100, required=True)
    when = ExpressionField(label="When", rows=2)
    colours = ListField(required=False, help_text="red, white. Empty: dark.")
    flash = words("Flash", most=60, help_text="steady, fast, slow, 40 %")
    alternates = forms.BooleanField(label="Colours take turns", required=False)


PatternFormSet = forms.formset_factory(
    PatternForm, extra=2, can_delete=True, can_order=True, max_num=40, validate_max=True
)


class HeadForm(EntryForm):
    name = words("Name", most=100, required=True)
    label = words("In words", required=True)
    zone = forms.ChoiceField(choices=Zone.choices)
    colours = ListField(label="Colours it has", help_text="red, white, amber")
    max_colours_lit = WholeField(
        least=1, most=10, label="Colours lit together at most", required=False
    )
    load_ma = CurrentField(label="Load", required=False)
    peak_ma = CurrentField(label="Peak", required=False)
    unsafe = UnsafeField(
        label="Unknown signals count as", required=False, help_text="One a line: GEAR is P"
    )


class NodeForm(EntryForm):
    name = words("Name", most=20, required=True, help_text="For example N1.")
    label = words("In words", required=True, help_text="“Front node, feed A”.")
    channels = ChannelsField(
        label="Output channels",
        required=False,
        help_text="One a line: name, limit in A, and where it is special its kind and peak in A. "
        "1, 25",
    )
    inputs = ListField(label="Input pins", required=False, help_text="I1, I2, I3")
    limit_ma = CurrentField(label="Limit of the whole node", required=False)


class WireForm(EntryForm):
    name = forms.ChoiceField(label="What is wired")
    place = forms.ChoiceField(
        label="Where", help_text="A channel for an output, a pin for a signal."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        logic = self.logic
        wired = [each for each in logic.outputs if not each.internal]
        parts = (*wired, *logic.heads, *logic.signals)
        used = {wire.place: wire.name for wire in logic.wires}
        places = [
            f"{node.name}.{name}"
            for node in logic.nodes
            for name in (*(channel.name for channel in node.channels), *node.inputs)
        ]
        # A wire that lost its node can still be seen and moved.
        places += [place for place in used if place not in places]
        fields: Any = self.fields
        fields["name"].choices = [(each.name, f"{each.name} {each.label}") for each in parts]
        fields["place"].choices = [
            (place, f"{place}, taken by {used[place]}" if place in used else place)
            for place in places
        ]
