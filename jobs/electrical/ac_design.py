"""The 120 V side as frozen input: inverter, shore power, charger, branches, neutral bonds."""

from dataclasses import dataclass, field

ABOVE_ZERO = {"above": 0.0}
NOT_NEGATIVE = {"least": 0.0}
POSITIVE_FRACTION = {"above": 0.0, "most": 1.0}


@dataclass(frozen=True, kw_only=True, slots=True)
class Inverter:
    """`feed` is the direct-current feed it hangs on; `least_dc_v` the lowest voltage it runs at."""

    feed: str
    continuous_w: float | None = field(default=None, metadata=ABOVE_ZERO)
    surge_w: float | None = field(default=None, metadata=ABOVE_ZERO)
    efficiency: float = field(default=0.88, metadata=POSITIVE_FRACTION)
    least_dc_v: float = field(default=12.0, metadata=ABOVE_ZERO)


@dataclass(frozen=True, kw_only=True, slots=True)
class ShoreInlet:
    rating_a: float | None = field(default=None, metadata=ABOVE_ZERO)


@dataclass(frozen=True, kw_only=True, slots=True)
class Charger:
    """`output_a` is the setting in use, not what the charger could do."""

    output_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    output_v: float = field(default=14.4, metadata=ABOVE_ZERO)
    efficiency: float = field(default=0.85, metadata=POSITIVE_FRACTION)


@dataclass(frozen=True, kw_only=True, slots=True)
class AcBranch:
    ref: str
    name: str = ""
    breaker_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    awg: str | None = None
    continuous_w: float | None = field(default=None, metadata=NOT_NEGATIVE)
    other_w: float = field(default=0.0, metadata=NOT_NEGATIVE)
    surge_w: float = field(default=0.0, metadata=NOT_NEGATIVE)
    receptacles: bool = True
    gfci: bool | None = None
    on_inverter: bool = True
    on_shore: bool = True


@dataclass(frozen=True, kw_only=True, slots=True)
class NeutralBond:
    """A place where neutral meets the chassis, and when: an inverter's relay, the shore supply."""

    name: str
    on_inverter: bool = False
    on_shore: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class AcSide:
    volts: float = field(default=120.0, metadata=ABOVE_ZERO)
    inverter: Inverter | None = None
    shore: ShoreInlet | None = None
    charger: Charger | None = None
    branches: tuple[AcBranch, ...] = ()
    bonds: tuple[NeutralBond, ...] = ()
