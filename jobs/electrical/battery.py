"""Formulas of batteries: runtime, charge, parked days."""

from itertools import pairwise
from math import log

from jobs.electrical.tables.charge import REST_VOLTAGE

RESERVE_CURRENT_A = 25.0


def peukert_runtime_h(
    *, capacity_ah: float, current_a: float, exponent: float, rated_hours: float = 20.0
) -> float:
    """Hours to empty [h] = H * (C / (I * H))^k for a capacity C rated over H hours.

    C / H amperes last just H hours whatever k is. Not the form C / I^k, which is right only for a
    capacity rated at 1 A. Valid for steady current, warm battery. Source: peukert.

    >>> round(peukert_runtime_h(capacity_ah=100, current_a=10, exponent=1.2), 4)
    8.7055
    """
    return float(rated_hours * (capacity_ah / (current_a * rated_hours)) ** exponent)


def recharge_h(*, used_ah: float, spare_a: float, factor: float) -> float:
    """Hours until used charge is back [h] = factor * used / spare; never less.

    Near full a battery takes less than is offered. Source: common-practice.

    >>> round(recharge_h(used_ah=50, spare_a=25, factor=1.15), 2)
    2.3
    """
    return factor * used_ah / spare_a


def peukert_exponent(
    *, time_1_h: float, current_1_a: float, time_2_h: float, current_2_a: float
) -> float:
    """Exponent from two discharges = ln(t2 / t1) / ln(I1 / I2). Source: peukert.

    >>> k = peukert_exponent(time_1_h=20, current_1_a=5, time_2_h=170 / 60, current_2_a=25)
    >>> round(k, 4)
    1.2143
    """
    return log(time_2_h / time_1_h) / log(current_1_a / current_2_a)


def reserve_capacity_ah(*, reserve_min: float) -> float:
    """Charge delivered in a reserve-capacity test [Ah] = minutes * 25 A / 60.

    Charge at 25 A, not the 20-hour capacity. Source: sae-j537.

    >>> round(reserve_capacity_ah(reserve_min=100), 2)
    41.67
    """
    return reserve_min * RESERVE_CURRENT_A / 60


def charge_percent(*, rest_v: float) -> float:
    """State of charge of a rested flooded 12 V battery [%], linear between the table's points.

    Not for gel, glass mat or lithium. Outside the table 0 or 100. Source: bci.

    >>> round(charge_percent(rest_v=12.345), 1)
    62.5
    """
    rows = REST_VOLTAGE
    if rest_v <= rows[0].volts:
        return rows[0].charge_percent
    for low, high in pairwise(rows):
        if rest_v <= high.volts:
            part = (rest_v - low.volts) / (high.volts - low.volts)
            return low.charge_percent + part * (high.charge_percent - low.charge_percent)
    return rows[-1].charge_percent


def parked_days(*, capacity_ah: float, usable_fraction: float, current_a: float) -> float:
    """Days a parked vehicle lasts [d] = C * usable / (24 * I). Steady current above zero.

    Source: common-practice.

    >>> round(parked_days(capacity_ah=70, usable_fraction=0.4, current_a=1), 2)
    1.17
    """
    return capacity_ah * usable_fraction / (24 * current_a)
