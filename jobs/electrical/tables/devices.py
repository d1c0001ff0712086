"""Ratings that devices come in, and what their families are called and coloured."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class FuseRating:
    """`status` M-M and M-L are from memory: an editable value, never a fixed limit."""

    family: str
    amps: float
    colour: str
    source: str
    status: str


# The same colour means another rating in another family.
_BLADE = (
    (1, "black", "V2"),
    (2, "grey", "V2"),
    (3, "violet", "V2"),
    (4, "pink", "V2"),
    (5, "tan", "V2"),
    (7.5, "brown", "V2"),
    (10, "red", "V2"),
    (15, "blue", "V2"),
    (20, "yellow", "V2"),
    (25, "clear/white", "V2"),
    (30, "green", "V2"),
    (35, "blue-green", "M-M"),
    (40, "orange/amber", "V2"),
)
_BLADE_HIGH = (
    (20, "yellow", "V2"),
    (30, "green", "V2"),
    (40, "orange", "V2"),
    (50, "red", "V2"),
    (60, "blue", "V2"),
    (70, "tan/brown", "V2"),
    (80, "clear", "V2"),
    (100, "violet", "M-M"),
)
_BOLT = (30, 40, 50, 60, 70, 80, 100, 125, 150, 175, 200, 225, 250, 300)

FUSES: tuple[FuseRating, ...] = (
    *(
        FuseRating(family="blade", amps=amps, colour=colour, source="iso-8820-3", status=status)
        for amps, colour, status in _BLADE
    ),
    *(
        FuseRating(
            family="blade high current",
            amps=amps,
            colour=colour,
            source="iso-8820-3",
            status=status,
        )
        for amps, colour, status in _BLADE_HIGH
    ),
    *(
        FuseRating(family="bolt-down", amps=amps, colour="", source="iso-8820-5", status="M-M")
        for amps in _BOLT
    ),
)

# NEC 240.6(A), the part that vehicles use; the whole series goes on to 6000 A.
BREAKER_RATINGS_A = (
    *(15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250),
    *(300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000),
)
FUSE_ONLY_RATINGS_A = (1, 3, 6, 10, 601)

_BLADES = tuple(float(item.amps) for item in FUSES if item.family == "blade")

# What a designer may choose from, by kind of device, smallest first.
RATINGS_A: dict[str, tuple[float, ...]] = {
    "fuse_blade": _BLADES,
    "fuse_bolt": tuple(float(amps) for amps in _BOLT),
    "breaker_auto": tuple(float(amps) for amps in BREAKER_RATINGS_A if amps <= 200),
    "breaker_modified": tuple(float(amps) for amps in BREAKER_RATINGS_A if amps <= 200),
    "breaker_manual": tuple(float(amps) for amps in BREAKER_RATINGS_A if amps <= 300),
    "electronic": _BLADES,
}


@dataclass(frozen=True, kw_only=True, slots=True)
class BreakerType:
    """How a breaker closes again after an overload."""

    number: int
    behaviour: str
    closed_when_overload_ends: bool
    closed_when_supply_cycles: bool
    kind: str
    source: str = "sae-j553"
    status: str = "V2"


BREAKER_TYPES: tuple[BreakerType, ...] = (
    BreakerType(
        number=1,
        behaviour="cycles while the fault lasts",
        closed_when_overload_ends=True,
        closed_when_supply_cycles=True,
        kind="breaker_auto",
    ),
    BreakerType(
        number=2,
        behaviour="stays open while supply is present",
        closed_when_overload_ends=False,
        closed_when_supply_cycles=True,
        kind="breaker_modified",
    ),
    BreakerType(
        number=3,
        behaviour="stays open until a person resets it; trip-free",
        closed_when_overload_ends=False,
        closed_when_supply_cycles=False,
        kind="breaker_manual",
    ),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class SwitchDerating:
    """Multiply the continuous load current by this for the contact's rating."""

    nominal_v: int
    load: str
    factor: float
    source: str = "ac43-t11-4"
    status: str = "V"


SWITCH_DERATING: tuple[SwitchDerating, ...] = tuple(
    SwitchDerating(nominal_v=volts, load=load, factor=factor)
    for volts, load, factor in (
        (12, "lamp", 5),
        (12, "inductive", 2),
        (12, "resistive", 1),
        (12, "motor", 2),
        (28, "lamp", 8),
        (28, "inductive", 4),
        (28, "resistive", 2),
        (28, "motor", 3),
    )
)


@dataclass(frozen=True, kw_only=True, slots=True)
class WireProtection:
    """Largest breaker and fuse on a wire, as aviation does it: a second opinion."""

    awg: str
    breaker_a: float
    fuse_a: float
    source: str = "ac43-t11-3"
    status: str = "V"


# The rows of 1 and 1/0 AWG are left out: their alignment in the published table is doubtful.
AC43_TABLE_11_3: tuple[WireProtection, ...] = tuple(
    WireProtection(awg=awg, breaker_a=breaker, fuse_a=fuse)
    for awg, breaker, fuse in (
        ("22", 5, 5),
        ("20", 7.5, 5),
        ("18", 10, 10),
        ("16", 15, 10),
        ("14", 20, 15),
        ("12", 30, 20),
        ("10", 40, 30),
        ("8", 50, 50),
        ("6", 80, 70),
        ("4", 100, 70),
        ("2", 125, 100),
    )
)
