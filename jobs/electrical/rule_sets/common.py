"""Limits that several rule sets share, each with its authority."""

from jobs.electrical.rule_sets.shape import DropClass, Limit, SourceDistance


def usual(value: float) -> Limit:
    """A limit of common practice: no published source."""
    return Limit(value=value, source="common-practice", status="CP")


INCH_M = 0.0254

RESISTANCE_FACTOR = usual(1.10)
BODY_RETURN_FRACTION = usual(0.25)
CONTINUOUS_FRACTION = Limit(value=0.8, source="nec-210-20", status="V2")
PEAK_FRACTION = usual(1.0)
SELECTIVITY_RATIO = usual(1.6)
FAULT_MULTIPLES = (
    ("fuse_blade", usual(3.5)),
    ("fuse_bolt", usual(4.0)),
    ("breaker_auto", usual(4.0)),
    ("breaker_modified", usual(4.0)),
    ("breaker_manual", usual(4.0)),
    ("electronic", usual(2.0)),
)
INRUSH_MULTIPLE = usual(2.0)
INRUSH_SHORT_S = usual(0.1)
ENERGY_WARN_FRACTION = usual(0.9)
ENGINE_OFF_S = Limit(value=600.0, source="nfpa1901-ch13", status="M-H")
RECHARGE_FACTOR = usual(1.15)
KEYOFF_ADDED_A = usual(0.030)
KEYOFF_TOTAL_A = usual(0.085)
# As the usual tables of conduit fill have it; no rule for vehicles is known.
OPENING_FILL = (usual(0.53), usual(0.31), usual(0.40))

# 7, 40 and 72 inches along the conductor.
CFR_DISTANCE = SourceDistance(
    open_m=Limit(value=7 * INCH_M, source="33cfr183-455b", status="V"),
    sheathed_m=Limit(value=40 * INCH_M, source="33cfr183-455b", status="V"),
    battery_m=Limit(value=72 * INCH_M, source="33cfr183-460", status="M-H"),
)
# Many bids and inverter instructions ask for 18 inches or less.
SHORT_DISTANCE = SourceDistance(
    open_m=usual(18 * INCH_M), sheathed_m=usual(18 * INCH_M), battery_m=usual(18 * INCH_M)
)

TEN_PERCENT = Limit(value=10.0, source="nfpa1901-ch13", status="V2")
GENERAL = DropClass(key="general", name="General", limit_percent=TEN_PERCENT)
