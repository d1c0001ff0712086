"""33 CFR part 183 subpart I: the one US federal table of low-voltage ampacity.

It binds gasoline inboard boats, not road vehicles: a published anchor. It has no drop limit, so
the 3 % and 10 % of ABYC E-11 (secondary) stand in.
"""

from dataclasses import replace
from datetime import date

from jobs.electrical.rule_sets import common
from jobs.electrical.rule_sets.common_practice import COMMON_PRACTICE
from jobs.electrical.rule_sets.shape import DropClass, Limit
from jobs.electrical.tables import ampacity

_CRITICAL = Limit(value=3.0, source="abyc-e11", status="V2")
_OTHER = Limit(value=10.0, source="abyc-e11", status="V2")

CFR33_183 = replace(
    COMMON_PRACTICE,
    key="33cfr183",
    name="33 CFR 183 (boats)",
    dated=date(2026, 11, 1),
    note="Table 5 ampacity; device ≤ 1.5 × ampacity under 50 V; device within 7, 40 or 72 in.",
    ampacity=ampacity.CFR_TABLE_5,
    engine_space=ampacity.CFR_ENGINE_SPACE,
    bundle=ampacity.CFR_BUNDLE,
    bundle_from_v=50.0,
    device_over_ampacity=Limit(value=1.5, source="33cfr183-455c1", status="V"),
    # The text lets the next standard size up stand when none matches; here it must match.
    device_over_ampacity_from_50_v=Limit(value=1.0, source="33cfr183-455c2", status="V"),
    distance=common.CFR_DISTANCE,
    smallest_single_awg="16",
    smallest_single_source="33cfr183-425e",
    drop_classes=(
        DropClass(key="sensitive", name="Critical", limit_percent=_CRITICAL),
        DropClass(key="lamp", name="Non-critical", limit_percent=_OTHER),
        DropClass(key="general", name="Non-critical", limit_percent=_OTHER),
    ),
    manual_reset_only=True,
)
