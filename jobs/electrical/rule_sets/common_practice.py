"""Common practice of upfit shops: conservative shop values, most without a published source."""

from datetime import date

from jobs.electrical.rule_sets import common
from jobs.electrical.rule_sets.common import usual
from jobs.electrical.rule_sets.shape import DropClass, Limit, RuleSet
from jobs.electrical.tables import ampacity

COMMON_PRACTICE = RuleSet(
    key="common-practice",
    name="Common practice",
    dated=date(2026, 11, 1),
    note="125 °C cross-linked wire; load ≤ 0.8 device ≤ 0.64 conductor; drop 3 / 5 / 10 %.",
    ampacity=ampacity.COMMON_PRACTICE,
    engine_space=ampacity.COMMON_ENGINE_SPACE,
    bundle=ampacity.COMMON_BUNDLE,
    bundle_from_v=0.0,
    resistance_factor=common.RESISTANCE_FACTOR,
    body_return_fraction=common.BODY_RETURN_FRACTION,
    device_over_ampacity=usual(0.8),
    device_over_ampacity_from_50_v=None,
    continuous_fraction=common.CONTINUOUS_FRACTION,
    peak_fraction=common.PEAK_FRACTION,
    fault_multiples=common.FAULT_MULTIPLES,
    inrush_multiple=common.INRUSH_MULTIPLE,
    inrush_short_s=common.INRUSH_SHORT_S,
    selectivity_ratio=common.SELECTIVITY_RATIO,
    distance=common.SHORT_DISTANCE,
    smallest_single_awg="20",
    smallest_single_source="common-practice",
    drop_classes=(
        DropClass(
            key="sensitive",
            name="Sensitive",
            limit_percent=Limit(value=3.0, source="abyc-e11", status="V2"),
        ),
        DropClass(
            key="lamp",
            name="Lamp",
            limit_percent=common.TEN_PERCENT,
            target_percent=usual(5.0),
        ),
        common.GENERAL,
    ),
    energy_warn_fraction=common.ENERGY_WARN_FRACTION,
    engine_off_s=common.ENGINE_OFF_S,
    recharge_factor=common.RECHARGE_FACTOR,
    keyoff_added_a=common.KEYOFF_ADDED_A,
    keyoff_total_a=common.KEYOFF_TOTAL_A,
    opening_fill=common.OPENING_FILL,
    manual_reset_only=False,
)
