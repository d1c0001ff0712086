"""Forms of supplies, feeds, nodes, circuits and their loads."""

from typing import Any

from django import forms

from catalog.fields import RowsField
from catalog.quantities import AMPERE, AMPERE_HOUR, FOOT, INCH, MILLIOHM, VOLT, QuantityField
from jobs.build_sheet.circuit_models import Circuit, CircuitLoad, Feed, Node, Supply
from jobs.build_sheet.forms import JobForm
from jobs.build_sheet.line_models import BuildLine
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.intake.models import Job

LONGEST_RUN_FT = 200
SIZES = [("", "Not chosen"), *((size, f"{size} AWG") for size in SIZE_BY_AWG)]
INSULATIONS = [(c, f"{c} °C") for c in (60, 75, 80, 90, 105, 125, 200)]


class ConductorForm(JobForm):
    device_ma = QuantityField(AMPERE, label="Device rating", most=600, required=False)
    length_mm = QuantityField(
        FOOT, label="One-way length", least=None, most=LONGEST_RUN_FT, required=False
    )
    awg = forms.ChoiceField(
        label="Conductor size",
        choices=SIZES,
        required=False,
    )
    bundle_count = forms.IntegerField(label="Conductors in the bundle", min_value=1, max_value=200)
    insulation_c = forms.TypedChoiceField(
        label="Insulation rating",
        choices=INSULATIONS,
        coerce=int,
    )

    def clean_length_mm(self) -> Any:
        length = self.cleaned_data["length_mm"]
        if length is not None and length <= 0:
            typed = self.data.get(self.add_prefix("length_mm"))
            raise forms.ValidationError(f"One-way length is {typed} ft; it must be above 0.")
        return length


class CellForm(ConductorForm):
    """The four cells of the schedule that are changed in place."""

    bundle_count = None

    class Meta:
        model = Circuit
        fields = ("device_ma", "awg", "insulation_c", "length_mm")

    def __init__(self, *args: Any, where: str = "", **kwargs: Any) -> None:
        """`where` is the row's address: a changed cell asks there what the change would do."""
        super().__init__(*args, **kwargs)
        key, ref = self.instance.pk, self.instance.ref
        for field in self.fields.values():
            field.widget.attrs |= {
                "form": f"edit-{key}",
                "aria-label": f"{field.label} of {ref}",
                "hx-post": where,
                "hx-trigger": "change",
                "hx-include": f"[form='edit-{key}']",
                "hx-vals": '{"preview": "1"}',
                "hx-target": f"#effect-{key}",
            }
        self.fields["length_mm"].widget.attrs["autofocus"] = True

    def _get_validation_exclusions(self) -> set[str]:
        """The length is judged above; asking the database once more costs an edit time."""
        return {*super()._get_validation_exclusions(), "length_mm"}


class FeedForm(ConductorForm):
    source_distance_mm = QuantityField(
        INCH, label="Conductor from supply to device", most=2400, required=False
    )
    panel_limit_ma = QuantityField(AMPERE, label="Panel limit", most=1000, required=False)

    class Meta:
        model = Feed
        fields = (
            "ref",
            "name",
            "supply",
            "second_supply",
            "device_kind",
            "device_ma",
            "source_distance_mm",
            "awg",
            "insulation_c",
            "length_mm",
            "return_path",
            "engine_space",
            "bundle_count",
            "sheathed",
            "cranking",
            "colour",
            "panel_place",
            "panel_limit_ma",
        )

    def clean_second_supply(self) -> Supply | None:
        second: Supply | None = self.cleaned_data["second_supply"]
        if second is not None and second == self.cleaned_data.get("supply"):
            raise forms.ValidationError(f"A link joins two supplies; {second.ref} is its first.")
        return second


class CircuitForm(ConductorForm):
    channel_limit_ma = QuantityField(AMPERE, label="Channel limit", most=100, required=False)
    contact_limit_ma = QuantityField(
        AMPERE,
        label="Relay or disconnect contact, limit",
        most=1000,
        required=False,
        help_text="Where a relay or disconnect switches this circuit and no node does.",
    )
    through_average_ma = QuantityField(AMPERE, label="Passing through, average", most=1000)
    through_peak_ma = QuantityField(AMPERE, label="Passing through, peak", most=1000)
    drop_limit_percent = forms.DecimalField(
        label="Own drop limit (%)", min_value=0.1, max_value=20, decimal_places=1, required=False
    )

    class Meta:
        model = Circuit
        fields = (
            "ref",
            "designation",
            "feed",
            "device_kind",
            "device_ma",
            "awg",
            "insulation_c",
            "length_mm",
            "return_path",
            "engine_space",
            "bundle_count",
            "sheathed",
            "colour",
            "node",
            "channel",
            "channel_limit_ma",
            "contact_limit_ma",
            "powers",
            "intermittent",
            "whole_feed",
            "drop_limit_percent",
            "through_average_ma",
            "through_peak_ma",
            "label",
            "note",
        )
        field_classes = {"powers": RowsField}
        labels = {"powers": "Nodes whose logic it feeds"}
        help_texts = {"powers": "When this circuit is dead they switch all their channels off."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        nodes = self.fields["powers"]
        nodes.widget = forms.CheckboxSelectMultiple(choices=nodes.choices)  # type: ignore[attr-defined]
        self.fields["through_average_ma"].required = False
        self.fields["through_peak_ma"].required = False

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name in ("through_average_ma", "through_peak_ma"):
            data[name] = data.get(name) or 0
        node, feed = data.get("node"), data.get("feed")
        if node and feed and node.feed_id != feed.pk:
            self.add_error(
                "node", f"Node {node.ref} is supplied by feed {node.feed.ref}, not by {feed.ref}."
            )
        return data


class LoadForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = CircuitLoad
        fields = ("line", "quantity", "function")

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["line"].queryset = BuildLine.objects.filter(job=job).select_related("part")
        self.fields["line"].label_from_instance = lambda line: f"{line.ref} {line.part.description}"
        self.fields["quantity"] = forms.IntegerField(min_value=1, max_value=999, initial=1)


LoadFormSet = forms.inlineformset_factory(
    Circuit, CircuitLoad, form=LoadForm, extra=2, can_delete=True
)


class SupplyForm(JobForm):
    nominal_mv = QuantityField(VOLT, label="Nominal voltage", least=1, most=480)
    capacity_mah = QuantityField(AMPERE_HOUR, label="Capacity (20-hour)", most=2000, required=False)
    rating_ma = QuantityField(AMPERE, label="Current rating", most=1000, required=False)
    test_mv = QuantityField(
        VOLT, label="Voltage while circuits are tested", least=1, most=480, required=False
    )
    internal_resistance_uohm = QuantityField(MILLIOHM, label="Internal resistance", most=1000)
    peukert = forms.DecimalField(
        label="Peukert exponent", min_value=1, max_value=2, decimal_places=2, initial=1.1
    )
    usable_percent = forms.IntegerField(
        label="Usable share of the capacity (%)", min_value=1, max_value=100, initial=50
    )
    cutoff_mv = QuantityField(
        VOLT,
        label="Low-voltage disconnect opens at",
        least=1,
        most=480,
        required=False,
        help_text="At rest. Leave empty when nothing disconnects this battery.",
    )

    class Meta:
        model = Supply
        fields = (
            "ref",
            "name",
            "kind",
            "nominal_mv",
            "test_mv",
            "internal_resistance_uohm",
            "capacity_mah",
            "peukert",
            "usable_percent",
            "cutoff_mv",
            "rating_ma",
        )


class NodeForm(JobForm):
    module_limit_ma = QuantityField(AMPERE, label="Module limit", most=500, required=False)

    class Meta:
        model = Node
        fields = ("ref", "feed", "line", "place", "module_limit_ma")
