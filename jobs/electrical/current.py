"""Formulas for currents that are not steady."""

from math import sqrt


def swing_a(*, average_a: float, peak_a: float) -> float:
    """How far a load swings round its average [A] = sqrt(average * (peak - average)).

    The standard deviation of a load that is either off or at its peak: no load with this average
    and peak swings more. Zero for a steady load. Source: kirchhoff (root mean square).

    >>> swing_a(average_a=9.5, peak_a=19)
    9.5
    """
    return sqrt(average_a * max(0.0, peak_a - average_a))  # rounding may put peak a hair below


def heating_current_a(*, average_a: float, swing_a: float) -> float:
    """The steady current that heats as much [A] = sqrt(average^2 + swing^2).

    `average_a` and `swing_a` are sums over loads; adding the swings supposes that all flash in
    step, the worst case. Source: kirchhoff (root mean square).

    >>> round(heating_current_a(average_a=9.5, swing_a=9.5), 2)
    13.44
    """
    return sqrt(average_a * average_a + swing_a * swing_a)
