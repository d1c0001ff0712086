"""Formulas of protection: what a fault drives, what a device and a switch must be rated for."""


def fault_current_a(*, supply_v: float, path_ohm: float) -> float:
    """Current of a bolted fault [A] = V / R of the whole path out and back. R above zero.

    Source: kirchhoff.

    >>> fault_current_a(supply_v=12, path_ohm=0.06)
    200.0
    """
    return supply_v / path_ohm


def least_device_a(*, continuous_a: float, other_a: float) -> float:
    """Smallest device for a load [A] = other + 1.25 * continuous. Source: nec-210-20.

    >>> least_device_a(continuous_a=12, other_a=0)
    15.0
    """
    return other_a + 1.25 * continuous_a


def least_switch_a(*, load_a: float, derating: float) -> float:
    """Switch rating for a load [A] = continuous current * derating of its kind.

    Source: ac43-t11-4.

    >>> least_switch_a(load_a=4, derating=5)
    20
    """
    return load_a * derating
