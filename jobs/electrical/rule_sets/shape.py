"""What a rule set holds. Published rules conflict, so a job names the set it was designed to.

An edition is never edited once a job uses it: add a new one under a new key.
"""

from dataclasses import dataclass
from datetime import date

from jobs.electrical.tables.ampacity import Ampacity, BundleFactor, InsulationFactor


@dataclass(frozen=True, kw_only=True, slots=True)
class Limit:
    """One number with its authority: `source` is an id of jobs/sources.py."""

    value: float
    source: str
    status: str


@dataclass(frozen=True, kw_only=True, slots=True)
class DropClass:
    """How much voltage a load may lose on the way: fail above `limit`, say so above `target`."""

    key: str
    name: str
    limit_percent: Limit
    target_percent: Limit | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class SourceDistance:
    """How far along the conductor the device may stand from its source."""

    open_m: Limit
    sheathed_m: Limit
    battery_m: Limit


@dataclass(frozen=True, kw_only=True, slots=True)
class RuleSet:
    key: str
    name: str
    # When the values were last compared with their sources.
    dated: date
    note: str
    ampacity: tuple[Ampacity, ...]
    engine_space: tuple[InsulationFactor, ...]
    bundle: tuple[BundleFactor, ...]
    # Bundle factors count only from this voltage (0 = always).
    bundle_from_v: float
    # Resistance at work over solid copper at 20 C: temperature, strand lay, metric-sized wire.
    resistance_factor: Limit
    # Resistance of a return through the body over that of a return wire of the same length.
    body_return_fraction: Limit
    # Device rating over derated ampacity, at most.
    device_over_ampacity: Limit
    # The same from 50 V, where the set tells the two apart.
    device_over_ampacity_from_50_v: Limit | None
    # Continuous and peak current over the device's rating, at most.
    continuous_fraction: Limit
    peak_fraction: Limit
    # Fault current at the far end over the device's rating, at least, by kind of device.
    fault_multiples: tuple[tuple[str, Limit], ...]
    # A surge up to this share of the device's rating, no longer than this, is not a load [1, s].
    inrush_multiple: Limit
    inrush_short_s: Limit
    # Upstream rating over downstream rating, at least.
    selectivity_ratio: Limit
    distance: SourceDistance
    smallest_single_awg: str
    smallest_single_source: str
    drop_classes: tuple[DropClass, ...]
    # Demand over hot alternator output: say so above `warn`, fail above 1.
    energy_warn_fraction: Limit
    # Usual time the engine-off load must run when a mode names none.
    engine_off_s: Limit
    # Charge put in over charge taken out, until a battery is full again.
    recharge_factor: Limit
    keyoff_added_a: Limit
    keyoff_total_a: Limit
    # Share of an opening that one, two, and three or more conductors may fill.
    opening_fill: tuple[Limit, Limit, Limit]
    # Only devices that people reset by hand (or fuses) count as protection.
    manual_reset_only: bool
