"""Batteries against published and computed figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.battery import (
    charge_percent,
    parked_days,
    peukert_exponent,
    peukert_runtime_h,
    reserve_capacity_ah,
)


@pytest.mark.parametrize(
    ("current_a", "exponent", "hours", "ah"),
    [
        (5, 1.2, 20.0, 100.0),
        (10, 1.2, 8.7055, 87.055),
        (20, 1.2, 3.7893, 75.786),
        (10, 1.1, 9.3303, 93.303),
    ],
)
def test_runtime_of_100_ah_at_20_hours(current_a, exponent, hours, ah):
    """Computed from t = H (C / (I H))^k."""
    found = peukert_runtime_h(capacity_ah=100, current_a=current_a, exponent=exponent)
    assert found == pytest.approx(hours, abs=0.00005)
    assert found * current_a == pytest.approx(ah, abs=0.001)


@given(
    capacity=st.floats(min_value=1, max_value=1000),
    exponent=st.floats(min_value=1.0, max_value=1.6),
    rated=st.floats(min_value=1, max_value=100),
)
def test_the_rated_current_lasts_the_rated_hours(capacity, exponent, rated):
    found = peukert_runtime_h(
        capacity_ah=capacity, current_a=capacity / rated, exponent=exponent, rated_hours=rated
    )
    assert found == pytest.approx(rated)


def test_the_one_ampere_form_is_not_what_we_compute():
    """Tutorials use C / I^k with a 20-hour capacity: 14.4956 h where 20 h is right."""
    wrong = 100 / 5**1.2
    assert wrong == pytest.approx(14.4956, abs=0.0005)
    right = peukert_runtime_h(capacity_ah=100, current_a=5, exponent=1.2)
    assert right == pytest.approx(20)
    at_one_ampere = peukert_runtime_h(capacity_ah=100, current_a=5, exponent=1.2, rated_hours=100)
    assert at_one_ampere == pytest.approx(wrong)


def test_exponent_from_two_discharges():
    found = peukert_exponent(time_1_h=20, current_1_a=5, time_2_h=170 / 60, current_2_a=25)
    assert found == pytest.approx(1.2143, abs=0.00005)


@pytest.mark.parametrize(("minutes", "ah"), [(90, 37.5), (100, 41.67), (120, 50.0)])
def test_reserve_capacity_over_2_4(minutes, ah):
    """SAE J537: minutes at 25 A."""
    assert reserve_capacity_ah(reserve_min=minutes) == pytest.approx(ah, abs=0.005)


@pytest.mark.parametrize(
    ("volts", "percent"),
    [
        (12.65, 100),
        (12.45, 75),
        (12.24, 50),
        (12.06, 25),
        (11.89, 0),
        (12.55, 87.5),
        (12.345, 62.5),
        (11.0, 0),
        (13.0, 100),
    ],
)
def test_charge_from_rest_voltage(volts, percent):
    """BCI table, secondary: the nodes, two midpoints, and both ends."""
    assert charge_percent(rest_v=volts) == pytest.approx(percent)


def test_parked_days():
    """70 Ah, 40 %, 1 A of radio and modem standby."""
    found = parked_days(capacity_ah=70, usable_fraction=0.4, current_a=1)
    assert found == pytest.approx(1.17, abs=0.005)
