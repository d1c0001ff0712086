"""Formulas for a piece of wire: size, resistance, ampacity."""

from math import log

from jobs.electrical.tables.conductors import SIZE_BY_AWG

METRES_PER_FOOT = 0.3048
# The area of a circle of one mil, by definition.
MM2_PER_CMIL = 5.06707479e-4


def awg_diameter_mil(*, number: int) -> float:
    """Diameter of a gauge number [mil] = 5 * 92^((36 - n) / 39); 4/0 is n = -3.

    Valid from 36 to 4/0. Source: astm-b258.

    >>> round(awg_diameter_mil(number=-3), 3)
    460.0
    """
    return float(5.0 * 92.0 ** ((36 - number) / 39))


def circular_mil(*, diameter_mil: float) -> float:
    """Area of a round wire [cmil] = d^2. Any diameter. Source: astm-b258.

    >>> round(circular_mil(diameter_mil=64.084))
    4107
    """
    return diameter_mil * diameter_mil


def resistance_per_metre_ohm(*, awg: str, factor: float = 1.0) -> float:
    """Resistance of one metre of copper [ohm/m] = r20 / 304.8 m * factor.

    r20 is the row of the gauge in ohm per 1000 ft; `factor` holds temperature, strand lay and
    metric-sized wire. Raises KeyError for a gauge without a row. Source: iec-60028.

    >>> round(resistance_per_metre_ohm(awg="14") * 304.8, 5)
    2.52537
    """
    return SIZE_BY_AWG[awg].r20_ohm_per_kft / (1000 * METRES_PER_FOOT) * factor


def temperature_factor(*, conductor_c: float) -> float:
    """Resistance at a temperature over that at 20 C = (234.5 + T) / 254.5, copper.

    Valid from -50 to 200 C. Source: ac43-11-66.

    >>> round(1 / temperature_factor(conductor_c=50), 4)
    0.8946
    """
    return (234.5 + conductor_c) / 254.5


def derated_ampacity_a(*, base_a: float, engine_factor: float, bundle_factor: float) -> float:
    """Ampacity where the wire lies [A] = table value * engine space * bundle.

    Factors of 1 where they do not apply. Source: the rule set's table and its notes.

    >>> round(derated_ampacity_a(base_a=45, engine_factor=0.85, bundle_factor=0.60), 2)
    22.95
    """
    return base_a * engine_factor * bundle_factor


def circular_mil_for_drop(
    *, k: float, current_a: float, round_trip_ft: float, drop_v: float
) -> float:
    """Area that loses just `drop_v` [cmil] = K * I * L / E, L out and back in feet.

    K = 10.75 is copper at about 29 C, 12.9 at 75 C. Source: abyc-e11.

    >>> round(circular_mil_for_drop(k=10.75, current_a=45, round_trip_ft=40, drop_v=1.2))
    16125
    """
    return k * current_a * round_trip_ft / drop_v


def gauge_number(*, diameter_mil: float) -> float:
    """Gauge number of a diameter = 36 - 39 * ln(d / 5) / ln(92): the inverse of the gauge formula.

    Valid from 5 to 460 mil. Source: astm-b258.

    >>> round(gauge_number(diameter_mil=460.0), 6)
    -3.0
    """
    return 36 - 39 * log(diameter_mil / 5) / log(92)


def copper_kg(*, awg: str, length_m: float) -> float:
    """Copper of a piece of wire [kg] = area [mm2] * length [m] * 8.96 / 1000; without insulation.

    Source: astm-b258 (area); density of copper 8.96 g/cm3.

    >>> round(copper_kg(awg="2", length_m=10), 2)
    3.01
    """
    return SIZE_BY_AWG[awg].area_cmil * MM2_PER_CMIL * length_m * 8.96 / 1000
