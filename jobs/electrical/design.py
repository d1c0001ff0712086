"""The frozen input of the electrical calculation: what is wired to what, with which currents.

SI floats with the unit in the name. None means "not entered yet": the checks answer with an
undetermined finding, never with a pass. References (`feed`, `node`, `supply`, ...) are the texts
people see; `input_check.py` says which of them lead nowhere.
"""

from dataclasses import dataclass, field
from enum import StrEnum

from jobs.electrical.ac_design import ABOVE_ZERO, NOT_NEGATIVE, POSITIVE_FRACTION, AcSide

# What a number may be, beside those of ac_design.py. Read by input_check.py.
FRACTION = {"least": 0.0, "most": 1.0}
AT_LEAST_ONE = {"least": 1}


class SupplyKind(StrEnum):
    BATTERY = "battery"
    ALTERNATOR = "alternator"
    INVERTER = "inverter"
    SHORE = "shore"


class DeviceKind(StrEnum):
    FUSE_BLADE = "fuse_blade"
    FUSE_BOLT = "fuse_bolt"
    BREAKER_AUTO = "breaker_auto"
    BREAKER_MODIFIED = "breaker_modified"
    BREAKER_MANUAL = "breaker_manual"
    ELECTRONIC = "electronic"


class ReturnPath(StrEnum):
    WIRE = "wire"
    BODY = "body"


class Owner(StrEnum):
    """Who brings a piece: the shop, the agency, or a firm that also fits it."""

    SHOP = "shop"
    AGENCY = "agency"
    SUBLET = "sublet"


class LoadModel(StrEnum):
    """How a load answers a lower voltage: same current, same power, or same resistance."""

    CURRENT = "current"
    POWER = "power"
    RESISTANCE = "resistance"


class ModeSource(StrEnum):
    IDLE = "idle"
    HIGH_IDLE = "high_idle"
    BATTERY = "battery"
    SHORE = "shore"


@dataclass(frozen=True, kw_only=True, slots=True)
class Supply:
    ref: str
    name: str = ""
    kind: SupplyKind
    nominal_v: float | None = field(default=None, metadata=ABOVE_ZERO)
    internal_resistance_ohm: float = field(default=0.0, metadata=NOT_NEGATIVE)
    capacity_ah: float | None = field(default=None, metadata=ABOVE_ZERO)
    rating_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    # Exponent of an absorbed-glass-mat battery; flooded ones are nearer 1.2.
    peukert: float = field(default=1.1, metadata={"least": 1.0, "most": 2.0})
    usable_fraction: float = field(default=0.5, metadata=POSITIVE_FRACTION)
    # Rest voltage at which a disconnect opens; it may leave less than `usable_fraction`.
    cutoff_v: float | None = field(default=None, metadata=ABOVE_ZERO)


@dataclass(frozen=True, kw_only=True, slots=True)
class Conductor:
    """What feeds and circuits have in common: a protected run, out and back."""

    ref: str
    device_kind: DeviceKind | None = None
    device_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    awg: str | None = None
    insulation_c: int = field(default=125, metadata=ABOVE_ZERO)
    length_m: float | None = field(default=None, metadata=ABOVE_ZERO)
    return_path: ReturnPath | None = ReturnPath.WIRE
    engine_space: bool = False
    bundle_count: int = field(default=1, metadata=AT_LEAST_ONE)
    sheathed: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Feed(Conductor):
    """From a supply to a distribution point, or a link between two supplies."""

    name: str = ""
    supply: str
    second_supply: str | None = None
    source_distance_m: float | None = field(default=None, metadata=NOT_NEGATIVE)
    second_device_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    second_distance_m: float | None = field(default=None, metadata=NOT_NEGATIVE)
    cranking: bool = False
    panel_limit_a: float | None = field(default=None, metadata=ABOVE_ZERO)


@dataclass(frozen=True, kw_only=True, slots=True)
class ChannelGroup:
    """Channels of one node that share a limit."""

    label: str
    channels: tuple[str, ...]
    limit_a: float = field(metadata=ABOVE_ZERO)


@dataclass(frozen=True, kw_only=True, slots=True)
class Node:
    """An input/output module on a feed."""

    ref: str
    feed: str
    place: str = ""
    module_limit_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    groups: tuple[ChannelGroup, ...] = ()
    sleep_a: float | None = field(default=None, metadata=NOT_NEGATIVE)
    # The circuits that feed its logic; without all of them its channels switch off.
    powered_by: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """`quantity` equal pieces with one function on. Currents are per piece at `rated_v`."""

    ref: str
    name: str = ""
    place: str = ""
    owner: Owner | None = None
    quantity: int = field(default=1, metadata=AT_LEAST_ONE)
    model: LoadModel = LoadModel.CURRENT
    average_a: float | None = field(default=None, metadata=NOT_NEGATIVE)
    peak_a: float | None = field(default=None, metadata=NOT_NEGATIVE)
    standby_a: float | None = field(default=None, metadata=NOT_NEGATIVE)
    inrush_a: float | None = field(default=None, metadata=NOT_NEGATIVE)
    inrush_s: float | None = field(default=None, metadata=NOT_NEGATIVE)
    rated_v: float | None = field(default=None, metadata=ABOVE_ZERO)
    supply_min_v: float | None = field(default=None, metadata=NOT_NEGATIVE)
    drop_class: str = "general"


@dataclass(frozen=True, kw_only=True, slots=True)
class Circuit(Conductor):
    """One protected branch from a distribution point or node channel to its loads."""

    feed: str
    designation: str = ""
    node: str | None = None
    channel: str = ""
    channel_limit_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    # Of the relay or disconnect that switches it, where no node does.
    contact_limit_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    intermittent: bool = False
    # The circuit is its feed's own conductor and device (an inverter's cable): nothing is added.
    whole_feed: bool = False
    drop_limit_percent: float | None = field(default=None, metadata=ABOVE_ZERO)
    through_average_a: float = field(default=0.0, metadata=NOT_NEGATIVE)
    through_peak_a: float = field(default=0.0, metadata=NOT_NEGATIVE)
    label: str = ""
    loads: tuple[Load, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Duty:
    """The share of time (or of brightness) a circuit is on. A circuit without a row is off."""

    circuit: str
    fraction: float = field(default=1.0, metadata=FRACTION)


@dataclass(frozen=True, kw_only=True, slots=True)
class Mode:
    key: str
    name: str = ""
    source: ModeSource
    bus_v: float = field(default=13.2, metadata=ABOVE_ZERO)
    chassis_base_a: float = field(default=0.0, metadata=NOT_NEGATIVE)
    allowance_a: float = field(default=0.0, metadata=NOT_NEGATIVE)
    inverter_w: float = field(default=0.0, metadata=NOT_NEGATIVE)
    inverter_efficiency: float = field(default=0.88, metadata=POSITIVE_FRACTION)
    # Parked with everything asleep: circuits that stay fed count with their standby current.
    asleep: bool = False
    # How long the mode must last with the engine off; None takes the rule set's usual time.
    needed_s: float | None = field(default=None, metadata=ABOVE_ZERO)
    # Links between supplies that are closed; an open one carries nothing.
    closed_links: tuple[str, ...] = ()
    duty: tuple[Duty, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PassThrough:
    """An opening in firewall, floor or roof, and the feeds and circuits that go through it."""

    ref: str
    name: str = ""
    bore_m: float | None = field(default=None, metadata=ABOVE_ZERO)
    through_feeds: tuple[str, ...] = ()
    through_circuits: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class UnitRatings:
    alternator_rating_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    alternator_hot_idle_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    alternator_hot_high_idle_a: float | None = field(default=None, metadata=ABOVE_ZERO)
    battery_ah: float | None = field(default=None, metadata=ABOVE_ZERO)
    keyoff_baseline_a: float | None = field(default=None, metadata=NOT_NEGATIVE)


@dataclass(frozen=True, kw_only=True, slots=True)
class Design:
    """Everything the electrical checks look at. Equal designs give equal findings."""

    name: str = ""
    rule_set: str = "common-practice"
    nominal_v: float = field(default=13.2, metadata=ABOVE_ZERO)
    unit: UnitRatings = UnitRatings()
    supplies: tuple[Supply, ...] = ()
    feeds: tuple[Feed, ...] = ()
    nodes: tuple[Node, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    modes: tuple[Mode, ...] = ()
    pass_throughs: tuple[PassThrough, ...] = ()
    ac: AcSide | None = None
