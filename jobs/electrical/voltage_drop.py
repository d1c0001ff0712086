"""Voltage lost on the way to a load."""


def loop_resistance_ohm(
    *, resistance_per_metre_ohm: float, length_m: float, return_fraction: float
) -> float:
    """Out and back [ohm] = r * L * (1 + return); 1 for a return wire of the same size.

    `length_m` is one way; the return's share is that of its resistance over the outgoing wire's.
    Source: kirchhoff.

    >>> round(loop_resistance_ohm(resistance_per_metre_ohm=0.01, length_m=5, return_fraction=1), 3)
    0.1
    """
    return resistance_per_metre_ohm * length_m * (1 + return_fraction)


def voltage_drop_v(*, current_a: float, resistance_ohm: float) -> float:
    """Voltage lost [V] = I * R. Direct current. Source: kirchhoff; ac43-t11-7 has the example.

    >>> round(voltage_drop_v(current_a=20, resistance_ohm=0.00306 * 100), 3)
    6.12
    """
    return current_a * resistance_ohm


def percent_of(*, part: float, whole: float) -> float:
    """A share [%] = 100 * part / whole, whole above zero. Source: kirchhoff.

    >>> round(percent_of(part=1.61, whole=13.2), 1)
    12.2
    """
    return 100 * part / whole
