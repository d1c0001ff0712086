"""One form for each kind of entry of a logic. `entry` is what goes into the document."""

from typing import Any

from django import forms

from jobs.build_sheet.drafting.entry_form import NAME_HELP, EntryForm, long_words, words
from jobs.build_sheet.drafting.fields import (
    CurrentField,
    ExpressionField,
    LinesField,
    ListField,
    NumberField,
    ThresholdsField,
    UnsafeField,
    WholeField,
)
from jobs.build_sheet.drafting.fitted_forms import HeadForm, NodeForm, ProfileForm, WireForm
from jobs.controls.check import MAX_DELAY_S
from jobs.controls.logic import Action, InterlockKind
from jobs.controls.signals import SignalKind, Wiring

KIND_WORDS = {
    SignalKind.TWO_STATE: "Two states",
    SignalKind.POSITION: "Positions",
    SignalKind.MEASURED: "Measured, cut at thresholds",
}
WIRING_WORDS = {
    Wiring.NORMALLY_OPEN: "Own wire, contact open at rest",
    Wiring.NORMALLY_CLOSED: "Own wire, contact closed at rest",
    Wiring.BUS: "Data bus or control head",
}
INTERLOCK_WORDS = {
    InterlockKind.NEVER_UNLESS: "Never on unless the condition holds",
    InterlockKind.ALWAYS_WHEN: "Always on when the condition holds",
    InterlockKind.NEVER_TOGETHER: "Never two of them together",
    InterlockKind.EXACTLY_ONE: "Exactly one of them",
    InterlockKind.COLOUR_WITHIN_PROFILE: "No colour outside the legal profile",
    InterlockKind.LATCH_RELEASABLE: "Every latch can be released",
    InterlockKind.OUTPUT_REACHABLE: "Every output can come on",
}


class SignalForm(EntryForm):
    name = words("Name", most=40, required=True, help_text=NAME_HELP)
    label = words("In words", required=True, help_text="As it stands in a sentence: “park brake”.")
    kind = forms.ChoiceField(choices=[(str(k), w) for k, w in KIND_WORDS.items()])
    source = words("Where it comes from", help_text="Switch, sensor, gateway, control head.")
    wiring = forms.ChoiceField(choices=[(str(k), w) for k, w in WIRING_WORDS.items()])
    positions = ListField(required=False, help_text="For positions: P, R, N, D")
    thresholds = ThresholdsField(
        required=False, help_text="For measured values, rising; a name is optional: 1, 10 scene"
    )
    unit = words("Unit", most=12, help_text="mph, V, F")
    on_words = words("Said when on", most=60, help_text="set, pressed, open")
    off_words = words("Said when off", most=60)
    rest = words(
        "At rest", most=40, help_text="Parked and untouched: off, on, a position, a value."
    )
    de_energised = words(
        "Reads with its wire cut", most=40, help_text="off or on, a position, a value."
    )
    monitored = forms.BooleanField(
        label="A cut wire is noticed and then reads unknown", required=False
    )
    may_be_unknown = forms.BooleanField(label="May become unknown", required=False)
    unsafe = words(
        "Unknown counts as",
        most=40,
        help_text="The value that is safe to assume; a rule may say otherwise for itself.",
    )
    caution = long_words("Caution when testing it")


class TermForm(EntryForm):
    expressions = ("when",)
    name = words("Name", most=40, required=True, help_text=NAME_HELP)
    label = words("In words", required=True, help_text="As it stands in a sentence: “parked”.")
    when = ExpressionField(label="Stands for")


class OutputForm(EntryForm):
    name = words("Name", most=40, required=True, help_text=NAME_HELP)
    label = words("In words", required=True, help_text="As it stands in a sentence: “mast up”.")
    internal = forms.BooleanField(label="Drives no wire; other rules look at it", required=False)
    alarm = forms.BooleanField(label="Warns the crew", required=False)
    series = forms.ChoiceField(label="Energised only together with", required=False)
    second_means = words("Second means to take the energy away", help_text="Relay, breaker, valve.")
    load_ma = CurrentField(label="Load", required=False)
    peak_ma = CurrentField(label="Peak", required=False)
    needs = words(
        "Kind of channel", most=60, help_text="Empty for any; control head for its lamps."
    )
    guide = long_words("What the crew should know")
    caution = long_words("Caution when it comes on")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        others = [(each.name, f"{each.name} {each.label}") for each in self.logic.outputs]
        self.fields["series"].choices = [("", "Nothing else"), *others]  # type: ignore[attr-defined]


class RuleForm(EntryForm):
    expressions = ("when", "reset")
    name = words("Name", most=100, required=True, help_text="For example R04 left.")
    output = forms.ChoiceField()
    when = ExpressionField(label="When")
    action = forms.ChoiceField(
        choices=[(str(Action.TURN_ON), "Turns it on"), (str(Action.TURN_OFF), "Holds it off")]
    )
    priority = WholeField(
        least=0,
        most=1000,
        required=False,
        help_text="Of several rules on one output the highest active one wins.",
    )
    on_delay_s = NumberField(
        least=0, most=MAX_DELAY_S, unit="s", label="Only after", required=False,
        help_text="Without a break so long.",
    )  # fmt: skip
    off_delay_s = NumberField(
        least=0, most=MAX_DELAY_S, unit="s", label="Stays for", required=False
    )
    reset = ExpressionField(
        label="Latches until", required=False, rows=2, help_text="Empty: it does not latch."
    )
    toggle = forms.BooleanField(label="A second press releases it too", required=False)
    unsafe = UnsafeField(
        label="Unknown signals count as", required=False, help_text="One a line: GEAR is P"
    )
    why = long_words("Why")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(each.name, f"{each.name} {each.label}") for each in self.logic.outputs]
        self.fields["output"].choices = choices  # type: ignore[attr-defined]


class InterlockForm(EntryForm):
    expressions = ("subjects", "condition")
    name = words("Name", most=100, required=True, help_text="For example I1.")
    label = words("In words", required=True, help_text="“Mast up only when parked”.")
    kind = forms.ChoiceField(choices=[(str(k), w) for k, w in INTERLOCK_WORDS.items()])
    subjects = LinesField(
        label="What it is about",
        required=False,
        help_text="Outputs, one a line. Empty where it is about all of them.",
    )
    condition = ExpressionField(
        required=False, help_text="What is true on the vehicle, not what an input reads."
    )
    allow_s = NumberField(
        least=0, most=MAX_DELAY_S, unit="s", label="Judged after", required=False,
        help_text="Grants delays up to so many seconds.",
    )  # fmt: skip
    safety = forms.BooleanField(label="Somebody can get hurt if it breaks", required=False)
    why = long_words("Why")


class AssumptionForm(EntryForm):
    expressions = ("holds",)
    name = words("Name", most=100, required=True)
    holds = ExpressionField(label="Always true")
    reason = long_words("Why this is sure")


FORMS: dict[str, type[EntryForm]] = {
    "signals": SignalForm,
    "terms": TermForm,
    "outputs": OutputForm,
    "rules": RuleForm,
    "heads": HeadForm,
    "profile": ProfileForm,
    "assumptions": AssumptionForm,
    "interlocks": InterlockForm,
    "nodes": NodeForm,
    "wires": WireForm,
}
