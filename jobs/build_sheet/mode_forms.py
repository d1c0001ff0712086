"""Forms of operating modes and of the 120 V side."""

from typing import Any

from django import forms

from catalog.fields import RowsField
from catalog.quantities import AMPERE, VOLT, QuantityField
from jobs.build_sheet.ac_models import AcBranch, AcSide, NeutralBond
from jobs.build_sheet.forms import JobForm
from jobs.build_sheet.mode_models import OperatingMode

MOST_W = 100_000


class ModeForm(JobForm):
    bus_mv = QuantityField(VOLT, label="Bus voltage", least=1, most=60)
    chassis_base_ma = QuantityField(
        AMPERE,
        label="Chassis base load",
        most=500,
        help_text="What the vehicle itself takes in this mode.",
    )
    allowance_ma = QuantityField(
        AMPERE,
        label="Allowance",
        most=200,
        help_text="For what is in no circuit, such as relay coils.",
    )
    inverter_efficiency_percent = forms.IntegerField(
        label="Inverter efficiency (%)", min_value=50, max_value=100
    )
    inverter_w = forms.IntegerField(label="Load on the inverter (W)", min_value=0, max_value=MOST_W)
    needed_minutes = forms.IntegerField(
        label="Must last with the engine off (minutes)",
        min_value=1,
        max_value=100_000,
        required=False,
        help_text="Empty: the rule set's usual time.",
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
            "needed_minutes",
            "asleep",
            "closed_links",
        )
        field_classes = {"closed_links": RowsField}
        labels = {
            "closed_links": "Links between supplies that are closed",
            "position": "Place in the list",
            "source": "Where the energy comes from",
        }
        help_texts = {"key": "A short name without blanks, for example scene."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        links = self.fields["closed_links"]
        links.queryset = links.queryset.exclude(second_supply=None)  # type: ignore[attr-defined]
        links.label_from_instance = lambda feed: f"{feed.ref} {feed.name}"  # type: ignore[attr-defined]
        self.fields["source"].choices = [  # type: ignore[attr-defined]
            ("", "Choose"),
            *OperatingMode.Source.choices,
        ]
        links.widget = forms.CheckboxSelectMultiple(choices=links.choices)  # type: ignore[attr-defined]

    def clean_key(self) -> str:
        return self.once("key", str(self.cleaned_data["key"]))


class AcSideForm(JobForm):
    inverter_w = forms.IntegerField(
        label="Inverter, continuous (W)", min_value=1, max_value=MOST_W, required=False
    )
    inverter_surge_w = forms.IntegerField(
        label="Inverter, surge (W)", min_value=1, max_value=MOST_W, required=False
    )
    inverter_efficiency_percent = forms.IntegerField(
        label="Inverter efficiency (%)", min_value=50, max_value=100, initial=88
    )
    inverter_least_mv = QuantityField(
        VOLT, label="Inverter, lowest direct voltage", least=6, most=60, initial=12_000
    )
    shore_ma = QuantityField(AMPERE, label="Shore inlet", least=1, most=200, required=False)
    charger_ma = QuantityField(
        AMPERE,
        label="Charger setting in use",
        least=1,
        most=500,
        required=False,
        help_text="What it is set to, not what it could do.",
    )
    charger_efficiency_percent = forms.IntegerField(
        label="Charger efficiency (%)", min_value=50, max_value=100, initial=85
    )

    class Meta:
        model = AcSide
        fields = (
            "inverter_feed",
            "inverter_w",
            "inverter_surge_w",
            "inverter_efficiency_percent",
            "inverter_least_mv",
            "shore",
            "shore_ma",
            "charger",
            "charger_ma",
            "charger_efficiency_percent",
        )
        labels = {"inverter_feed": "Feed of the inverter"}
        help_texts = {"inverter_feed": "Leave empty when there is no inverter."}

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        twin = AcSide.objects.filter(job=self.job).exclude(pk=self.instance.pk)
        if twin.exists():
            self.add_error(None, f"The 120 V side of job {self.job.number} is entered already.")
        if (data.get("inverter_w") or data.get("inverter_surge_w")) and not data.get(
            "inverter_feed"
        ):
            self.add_error("inverter_feed", "An inverter needs the feed that supplies it.")
        for there, rating in (("shore", "shore_ma"), ("charger", "charger_ma")):
            data[there] = bool(data.get(there) or data.get(rating))
        return data


class AcBranchForm(JobForm):
    breaker_ma = QuantityField(AMPERE, label="Breaker", least=1, most=200, required=False)
    awg = forms.ChoiceField(
        label="Conductor size",
        choices=[("", "Not chosen"), *((size, f"{size} AWG") for size in ("14", "12", "10"))],
        required=False,
    )
    continuous_w = forms.IntegerField(
        label="Continuous load (W)", min_value=0, max_value=MOST_W, required=False
    )
    other_w = forms.IntegerField(label="Other load (W)", min_value=0, max_value=MOST_W, initial=0)
    surge_w = forms.IntegerField(
        label="Largest surge (W)", min_value=0, max_value=MOST_W, initial=0
    )
    gfci = forms.NullBooleanField(label="Protected by a GFCI")

    class Meta:
        model = AcBranch
        fields = (
            "ref",
            "name",
            "breaker_ma",
            "awg",
            "continuous_w",
            "other_w",
            "surge_w",
            "receptacles",
            "gfci",
            "on_inverter",
            "on_shore",
        )


class NeutralBondForm(JobForm):
    class Meta:
        model = NeutralBond
        fields = ("name", "on_inverter", "on_shore")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("on_inverter") and not data.get("on_shore"):
            self.add_error("on_shore", "Say when this bond is closed: inverter, shore, or both.")
        return data
