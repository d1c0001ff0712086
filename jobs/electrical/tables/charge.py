"""Rest voltage against state of charge: flooded lead-acid, 12 V, rested, 80 F. Secondary text."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class RestVoltage:
    volts: float
    charge_percent: float
    specific_gravity: float
    source: str = "bci"
    status: str = "V2"


REST_VOLTAGE: tuple[RestVoltage, ...] = tuple(
    RestVoltage(volts=volts, charge_percent=percent, specific_gravity=gravity)
    for volts, percent, gravity in (
        (11.89, 0.0, 1.120),
        (12.06, 25.0, 1.155),
        (12.24, 50.0, 1.190),
        (12.45, 75.0, 1.225),
        (12.65, 100.0, 1.265),
    )
)
