"""Forms of the build sheet. People type ft, in, A, V and lb; rows keep mm, mA, mV and g."""

from typing import Any

from django import forms

from catalog.models import PartRevision
from catalog.quantities import AMPERE, AMPERE_HOUR, FOOT, INCH, POUND, VOLT, QuantityField
from jobs.build_sheet.models import (
    BuildLine,
    Circuit,
    CircuitLoad,
    Feed,
    Node,
    OperatingMode,
    Payload,
    Supply,
)
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.intake.models import Job

LONGEST_RUN_FT = 200


class JobForm(forms.ModelForm):  # type: ignore[type-arg]
    """A row that belongs to a job: its reference is unique there, its choices come from there."""

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        super().__init__(*args, **kwargs)
        self.instance.job = job
        for name, field in self.fields.items():
            if name in ("feed", "supply", "second_supply", "node", "line"):
                field.queryset = field.queryset.filter(job=job)  # type: ignore[attr-defined]

    def clean_ref(self) -> str:
        ref = str(self.cleaned_data["ref"]).strip().upper()
        twin = (
            type(self.instance).objects.filter(job=self.job, ref=ref).exclude(pk=self.instance.pk)
        )
        if twin.exists():
            raise forms.ValidationError(f"{ref} is already used on job {self.job.number}.")
        return ref


class LineForm(JobForm):
    part_code = forms.CharField(
        label="Part code",
        max_length=40,
        widget=forms.TextInput(attrs={"list": "part-codes", "autocomplete": "off"}),
        help_text="The code in the catalog; the line takes its current revision.",
    )
    quantity = forms.IntegerField(min_value=1, max_value=999)
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600, required=False)
    y_mm = QuantityField(INCH, label="Right of the centre line", least=-80, most=80, required=False)
    z_mm = QuantityField(INCH, label="Above the ground", least=0, most=250, required=False)

    class Meta:
        model = BuildLine
        fields = ("ref", "quantity", "section", "zone", "stage", "ownership", "access", "note")

    field_order = (
        "ref",
        "part_code",
        "quantity",
        "section",
        "zone",
        "x_mm",
        "y_mm",
        "z_mm",
        "stage",
        "ownership",
        "access",
        "note",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.part_id:
            self.fields["part_code"].initial = self.instance.part.part.code
            for name in ("x_mm", "y_mm", "z_mm"):
                self.fields[name].initial = getattr(self.instance, name)

    def clean_part_code(self) -> str:
        code = self.cleaned_data["part_code"].strip()
        self.revision = PartRevision.objects.filter(current_of__code__iexact=code).first()
        if self.revision is None:
            raise forms.ValidationError(f"Part code {code} is not in the catalog.")
        return code

    def save(self, commit: bool = True) -> BuildLine:
        line = self.instance
        # Changing anything else must not quietly move the line to a newer datasheet.
        if not line.part_id or line.part.part_id != self.revision.part_id:
            line.part = self.revision
        for name in ("x_mm", "y_mm", "z_mm"):
            setattr(line, name, self.cleaned_data[name])
        return super().save(commit)


class ConductorForm(JobForm):
    device_ma = QuantityField(AMPERE, label="Device rating", most=600, required=False)
    length_mm = QuantityField(
        FOOT, label="One-way length", least=None, most=LONGEST_RUN_FT, required=False
    )
    awg = forms.ChoiceField(
        label="Conductor size",
        choices=[("", "Not chosen"), *((size, f"{size} AWG") for size in SIZE_BY_AWG)],
        required=False,
    )
    bundle_count = forms.IntegerField(label="Conductors in the bundle", min_value=1, max_value=200)
    insulation_c = forms.TypedChoiceField(
        label="Insulation rating",
        choices=[(c, f"{c} °C") for c in (60, 75, 80, 90, 105, 125, 200)],
        coerce=int,
    )

    def clean_length_mm(self) -> Any:
        length = self.cleaned_data["length_mm"]
        if length is not None and length <= 0:
            typed = self.data.get(self.add_prefix("length_mm"))
            raise forms.ValidationError(f"One-way length is {typed} ft; it must be above 0.")
        return length


class FeedForm(ConductorForm):
    source_distance_mm = QuantityField(
        INCH, label="Conductor from supply to device", most=2400, required=False
    )

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
            "colour",
            "panel_place",
        )


class CircuitForm(ConductorForm):
    channel_limit_ma = QuantityField(AMPERE, label="Channel limit", most=100, required=False)
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
            "colour",
            "node",
            "channel",
            "channel_limit_ma",
            "intermittent",
            "whole_feed",
            "drop_limit_percent",
            "through_average_ma",
            "through_peak_ma",
            "label",
            "note",
        )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
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

    class Meta:
        model = Supply
        fields = ("ref", "name", "kind", "nominal_mv", "capacity_mah", "rating_ma")


class NodeForm(JobForm):
    module_limit_ma = QuantityField(AMPERE, label="Module limit", most=500, required=False)

    class Meta:
        model = Node
        fields = ("ref", "feed", "line", "place", "module_limit_ma")


class ModeForm(JobForm):
    bus_mv = QuantityField(VOLT, label="Bus voltage", least=1, most=60)
    chassis_base_ma = QuantityField(AMPERE, label="Chassis base load", most=500)
    allowance_ma = QuantityField(AMPERE, label="Allowance", most=200)
    inverter_efficiency_percent = forms.IntegerField(
        label="Inverter efficiency (%)", min_value=50, max_value=100
    )

    class Meta:
        model = OperatingMode
        fields = (
            "key",
            "name",
            "position",
            "source",
            "bus_mv",
            "chassis_base_ma",
            "allowance_ma",
            "inverter_w",
            "inverter_efficiency_percent",
        )


class PayloadForm(JobForm):
    mass_g = QuantityField(POUND, label="Weight each", most=10_000)
    x_mm = QuantityField(INCH, label="Aft of the front axle", least=-120, most=600)

    class Meta:
        model = Payload
        fields = ("description", "quantity", "mass_g", "x_mm")
