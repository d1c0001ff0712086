"""Ampacity tables: the amperes a conductor carries for ever. One row a gauge and insulation."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Ampacity:
    """`status`: V verified, V2 secondary, C computed, CP common practice without a source."""

    insulation_c: int
    awg: str
    amps: float
    ambient_c: float
    source: str
    status: str


@dataclass(frozen=True, kw_only=True, slots=True)
class InsulationFactor:
    """Multiplies the ampacity inside an engine space, by insulation temperature."""

    insulation_c: int
    factor: float
    source: str
    status: str


@dataclass(frozen=True, kw_only=True, slots=True)
class BundleFactor:
    """Multiplies the ampacity of each of `least` to `most` current-carrying conductors."""

    least: int
    most: int | None
    factor: float
    source: str
    status: str


# 33 CFR 183.425(b) table 5: outside engine spaces, 30 C ambient.
_CFR_GAUGES = (
    "18",
    "16",
    "14",
    "12",
    "10",
    "8",
    "6",
    "4",
    "3",
    "2",
    "1",
    "1/0",
    "2/0",
    "3/0",
    "4/0",
)
_CFR_COLUMNS = {
    60: (10, 15, 20, 25, 40, 55, 80, 105, 120, 140, 165, 195, 225, 260, 300),
    75: (10, 15, 20, 25, 40, 65, 95, 125, 145, 170, 195, 230, 265, 310, 360),
    80: (15, 20, 25, 35, 50, 70, 100, 130, 150, 175, 210, 245, 285, 330, 385),
    90: (20, 25, 30, 40, 55, 70, 100, 135, 155, 180, 210, 245, 285, 330, 385),
    105: (20, 25, 35, 45, 60, 80, 120, 160, 180, 210, 245, 285, 330, 385, 445),
    125: (25, 30, 40, 50, 70, 90, 125, 170, 195, 225, 265, 305, 355, 410, 475),
    200: (25, 35, 45, 55, 70, 100, 135, 180, 210, 240, 280, 325, 370, 430, 510),
}
CFR_TABLE_5: tuple[Ampacity, ...] = tuple(
    Ampacity(
        insulation_c=insulation,
        awg=awg,
        amps=float(amps),
        ambient_c=30.0,
        source="33cfr183-425-t5",
        status="V",
    )
    for insulation, column in _CFR_COLUMNS.items()
    for awg, amps in zip(_CFR_GAUGES, column, strict=True)
)

# Note 1 of the same table: engine spaces, 50 C ambient. Only the 105 C value has been seen in a
# secondary text; the others are from memory, to be confirmed.
CFR_ENGINE_SPACE: tuple[InsulationFactor, ...] = tuple(
    InsulationFactor(insulation_c=c, factor=factor, source="33cfr183-425-n1", status=status)
    for c, factor, status in (
        (60, 0.58, "M-H"),
        (75, 0.75, "M-H"),
        (80, 0.78, "M-H"),
        (90, 0.82, "M-H"),
        (105, 0.85, "V2"),
        (125, 0.89, "M-H"),
        (200, 1.0, "M-H"),
    )
)

# Note 2: by 183.435(b) only where three or more conductors carry 50 V or more.
CFR_BUNDLE: tuple[BundleFactor, ...] = tuple(
    BundleFactor(least=least, most=most, factor=factor, source="33cfr183-425-n2", status="V2*")
    for least, most, factor in ((3, 3, 0.7), (4, 6, 0.6), (7, 24, 0.5), (25, None, 0.4))
)
NEC_BUNDLE: tuple[BundleFactor, ...] = tuple(
    BundleFactor(least=least, most=most, factor=factor, source="nec-310-15", status="V2")
    for least, most, factor in (
        (4, 6, 0.8),
        (7, 9, 0.7),
        (10, 20, 0.5),
        (21, 30, 0.45),
        (31, 40, 0.4),
        (41, None, 0.35),
    )
)

# AC 43.13-1B table 11-9: 105 C, bundle of 33 or more wires, 70 C ambient. A second opinion.
AC43_TABLE_11_9: tuple[Ampacity, ...] = tuple(
    Ampacity(
        insulation_c=105,
        awg=awg,
        amps=float(amps),
        ambient_c=70.0,
        source="ac43-t11-9",
        status="V",
    )
    for awg, amps in (
        ("22", 3),
        ("20", 4),
        ("18", 6),
        ("16", 7),
        ("14", 10),
        ("12", 13),
        ("10", 17),
        ("8", 38),
        ("6", 50),
        ("4", 68),
        ("2", 95),
        ("1", 113),
        ("1/0", 128),
        ("2/0", 147),
        ("3/0", 172),
        ("4/0", 204),
    )
)

# Usual shop values for cross-linked 125 C wire: small wire as it lies in a bundle, cable alone.
COMMON_PRACTICE: tuple[Ampacity, ...] = tuple(
    Ampacity(
        insulation_c=125,
        awg=awg,
        amps=float(amps),
        ambient_c=30.0,
        source="common-practice",
        status="CP",
    )
    for awg, amps in (
        ("20", 8),
        ("18", 10),
        ("16", 14),
        ("14", 20),
        ("12", 27),
        ("10", 38),
        ("8", 65),
        ("6", 95),
        ("4", 125),
        ("2", 170),
        ("1/0", 230),
        ("2/0", 265),
        ("4/0", 360),
    )
)
COMMON_ENGINE_SPACE: tuple[InsulationFactor, ...] = (
    InsulationFactor(insulation_c=125, factor=0.85, source="common-practice", status="CP"),
)
COMMON_BUNDLE: tuple[BundleFactor, ...] = tuple(
    BundleFactor(least=least, most=most, factor=factor, source="common-practice", status="CP")
    for least, most, factor in ((4, 6, 0.8), (7, 24, 0.7), (25, None, 0.6))
)
