"""Formulas of the 120 V side."""


def inverter_dc_a(*, output_w: float, dc_v: float, efficiency: float) -> float:
    """Direct current of an inverter [A] = P / (V * efficiency). Use the lowest input voltage.

    Source: kirchhoff (power balance).

    >>> round(inverter_dc_a(output_w=500, dc_v=12, efficiency=0.90), 1)
    46.3
    """
    return output_w / (dc_v * efficiency)


def charger_input_w(*, output_a: float, output_v: float, efficiency: float) -> float:
    """What a charger takes from the shore line [W] = I * V / efficiency.

    Source: kirchhoff (power balance).

    >>> round(charger_input_w(output_a=80, output_v=14.4, efficiency=0.85))
    1355
    """
    return output_a * output_v / efficiency


def shore_budget_w(*, rating_a: float, volts: float, continuous_fraction: float) -> float:
    """What a shore line gives for hours [W] = rating * volts * share. Source: nec-210-20.

    >>> shore_budget_w(rating_a=20, volts=120, continuous_fraction=0.8)
    1920.0
    """
    return rating_a * volts * continuous_fraction
