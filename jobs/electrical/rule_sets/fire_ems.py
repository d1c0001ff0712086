"""Fire and EMS purchase specification: conductor 125 % of its device, 10 % from source to device.

The figures are those that public purchase specifications repeat from NFPA 1901 chapter 13; the
standard itself governs. Its ampacity tables are left to the wire, so 33 CFR 183 table 5 serves.
"""

from dataclasses import replace
from datetime import date

from jobs.electrical.rule_sets import common
from jobs.electrical.rule_sets.common_practice import COMMON_PRACTICE
from jobs.electrical.rule_sets.shape import DropClass, Limit
from jobs.electrical.tables import ampacity

FIRE_EMS = replace(
    COMMON_PRACTICE,
    key="fire-ems",
    name="Fire and EMS purchase specification",
    dated=date(2026, 11, 1),
    note="Conductor ≥ 1.25 × device; drop ≤ 10 % from source to device for every load.",
    ampacity=ampacity.CFR_TABLE_5,
    engine_space=ampacity.CFR_ENGINE_SPACE,
    device_over_ampacity=Limit(value=0.8, source="nfpa1901-ch13", status="V2"),
    drop_classes=(
        DropClass(key="sensitive", name="Sensitive", limit_percent=common.TEN_PERCENT),
        DropClass(key="lamp", name="Lamp", limit_percent=common.TEN_PERCENT),
        common.GENERAL,
    ),
)
