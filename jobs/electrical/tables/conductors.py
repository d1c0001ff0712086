"""Copper conductors by American wire gauge: geometry, resistance, areas. One row a gauge.

Geometry is the formula of ASTM B258 (computed). r20 is annealed copper of IEC 60028 over that area
(computed, solid). The 75 C columns are NEC chapter 9 table 8 (secondary). The smallest areas of
road-vehicle cable are SAE J1127/J1128 from a reprint (weak: confirm in the standard). The aviation
column is the largest tin-plated resistance of AC 43.13-1B table 11-9 (verified).
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class ConductorSize:
    """Resistances in ohm per 1000 ft as published; `number` is n of the gauge formula."""

    awg: str
    number: int
    diameter_mil: float
    area_cmil: float
    r20_ohm_per_kft: float
    nec_cmil: float | None
    nec_r75_stranded_ohm_per_kft: float | None
    nec_r75_coated_ohm_per_kft: float | None
    nec_r75_solid_ohm_per_kft: float | None
    sae_min_cmil: float | None
    ac43_r20_max_ohm_per_kft: float | None
    geometry_source: str = "astm-b258"
    r20_source: str = "iec-60028"
    nec_source: str = "nec-ch9-t8"
    sae_source: str = "sae-j1127-j1128"
    ac43_source: str = "ac43-t11-9"


FEET_PER_METRE = 1 / 0.3048

_ROWS: tuple[tuple[str, int, float, float, float, *tuple[float | None, ...]], ...] = (
    # awg, n, mil, cmil, r20, NEC: cmil, stranded, coated, solid at 75 C, SAE cmil, aviation r20
    ("22", 22, 25.347, 642.4, 16.1429, None, None, None, None, None, 16.2),
    ("20", 20, 31.961, 1021.5, 10.15237, None, None, None, None, None, 9.88),
    ("18", 18, 40.303, 1624.3, 6.38489, 1620.0, 7.95, 8.45, 7.77, 1537.0, 6.23),
    ("16", 16, 50.821, 2582.7, 4.0155, 2580.0, 4.99, 5.29, 4.89, 2336.0, 4.81),
    ("14", 14, 64.084, 4106.7, 2.52537, 4110.0, 3.14, 3.26, 3.07, 3702.0, 3.06),
    ("12", 12, 80.808, 6529.9, 1.58822, 6530.0, 1.98, 2.05, 1.93, 5833.0, 2.02),
    ("10", 10, 101.897, 10383.0, 0.99884, 10380.0, 1.24, 1.29, 1.21, 9343.0, 1.26),
    ("8", 8, 128.49, 16509.7, 0.62818, 16510.0, 0.778, 0.809, 0.764, 14810.0, 0.7),
    ("6", 6, 162.023, 26251.4, 0.39507, 26240.0, 0.491, 0.51, None, 24538.0, 0.44),
    ("4", 4, 204.307, 41741.3, 0.24846, 41740.0, 0.308, 0.321, None, 37360.0, 0.28),
    ("3", 3, 229.423, 52634.8, 0.19704, 52620.0, 0.245, 0.254, None, None, None),
    ("2", 2, 257.626, 66371.3, 0.15626, 66360.0, 0.194, 0.201, None, 62450.0, 0.18),
    ("1", 1, 289.297, 83692.7, 0.12392, 83690.0, 0.154, 0.16, None, 77790.0, 0.15),
    ("1/0", 0, 324.861, 105534.5, 0.09827, 105600.0, 0.122, 0.127, None, 98980.0, 0.12),
    ("2/0", -1, 364.797, 133076.5, 0.07793, 133100.0, 0.0967, 0.101, None, 125100.0, 0.09),
    ("3/0", -2, 409.642, 167806.4, 0.0618, 167800.0, 0.0766, 0.0797, None, 158600.0, 0.07),
    ("4/0", -3, 460.0, 211600.0, 0.04901, 211600.0, 0.0608, 0.0626, None, 205500.0, 0.06),
)

SIZES: tuple[ConductorSize, ...] = tuple(
    ConductorSize(
        awg=awg,
        number=number,
        diameter_mil=diameter,
        area_cmil=area,
        r20_ohm_per_kft=r20,
        nec_cmil=rest[0],
        nec_r75_stranded_ohm_per_kft=rest[1],
        nec_r75_coated_ohm_per_kft=rest[2],
        nec_r75_solid_ohm_per_kft=rest[3],
        sae_min_cmil=rest[4],
        ac43_r20_max_ohm_per_kft=rest[5],
    )
    for awg, number, diameter, area, r20, *rest in _ROWS
)

SIZE_BY_AWG = {size.awg: size for size in SIZES}
THIN_TO_THICK = tuple(size.awg for size in SIZES)
