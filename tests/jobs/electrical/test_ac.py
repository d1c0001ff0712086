"""Formulas of the 120 V side."""

import pytest

from jobs.electrical.ac import charger_input_w, inverter_dc_a, shore_budget_w


@pytest.mark.parametrize(
    ("watts", "volts", "efficiency", "amps"),
    [(500, 12, 0.90, 46.3), (1000, 12, 1.0, 83.3), (2000, 12, 0.88, 189.4)],
)
def test_inverter_direct_current(watts, volts, efficiency, amps):
    """Secondary texts: 500 W at 12 V and 90 % is 46.3 A; 1000 W lossless 83.3 A."""
    found = inverter_dc_a(output_w=watts, dc_v=volts, efficiency=efficiency)
    assert found == pytest.approx(amps, abs=0.05)


def test_shore_budget_of_the_demo():
    """20 A x 120 V x 0.8 = 1920 W; an 80 A charger takes about 1355 W and leaves 565 W."""
    budget = shore_budget_w(rating_a=20, volts=120, continuous_fraction=0.8)
    charger = charger_input_w(output_a=80, output_v=14.4, efficiency=0.85)
    assert budget == pytest.approx(1920)
    assert charger == pytest.approx(1355, abs=0.5)
    assert budget - charger == pytest.approx(565, abs=0.5)


@pytest.mark.parametrize(("breaker", "steady"), [(15, 12), (20, 16), (30, 24), (50, 40)])
def test_eighty_percent_of_a_breaker(breaker, steady):
    """NEC 210.20(A)."""
    assert shore_budget_w(rating_a=breaker, volts=1, continuous_fraction=0.8) == steady
