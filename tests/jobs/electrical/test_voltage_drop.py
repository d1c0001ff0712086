"""Voltage drop against AC 43.13-1B and hand-worked rows; the laws of the formula."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.conductor import resistance_per_metre_ohm
from jobs.electrical.tables.conductors import SIZE_BY_AWG
from jobs.electrical.voltage_drop import loop_resistance_ohm, percent_of, voltage_drop_v

amps = st.floats(min_value=0.01, max_value=500)
metres = st.floats(min_value=0.01, max_value=100)


@pytest.mark.parametrize(
    ("ohm_per_ft", "feet", "current_a", "volts"),
    [(0.00044, 107, 20, 0.9416), (0.00306, 100, 20, 6.12), (0.00202, 88, 20, 3.555)],
)
def test_table_11_7(ohm_per_ft, feet, current_a, volts):
    """AC 43.13-1B table 11-7. The third row is printed as 3.60 there; the product is 3.555."""
    found = voltage_drop_v(current_a=current_a, resistance_ohm=ohm_per_ft * feet)
    assert found == pytest.approx(volts, abs=0.0005)


@pytest.mark.parametrize(("feet", "volts"), [(39, 0.983), (19.5, 0.4914)])
def test_table_11_8_of_10_awg(feet, volts):
    """AC 43.13-1B table 11-8, 20 A. The second row is printed as .366 there."""
    ohm = SIZE_BY_AWG["10"].ac43_r20_max_ohm_per_kft / 1000 * feet
    assert voltage_drop_v(current_a=20, resistance_ohm=ohm) == pytest.approx(volts, abs=0.0005)


def test_example_1_of_page_11_26_needs_8_awg():
    """AC 43.13-1B: 28 V, 50 ft with return, 20 A, 1 V allowed."""
    drops = {
        awg: voltage_drop_v(
            current_a=20, resistance_ohm=SIZE_BY_AWG[awg].ac43_r20_max_ohm_per_kft / 1000 * 50
        )
        for awg in ("10", "8")
    }
    assert drops["10"] == pytest.approx(1.26)
    assert drops["8"] == pytest.approx(0.70)


@pytest.mark.parametrize(
    ("column", "volts"),
    [("nec_r75_solid_ohm_per_kft", 7.72), ("nec_r75_stranded_ohm_per_kft", 7.92)],
)
def test_12_awg_100_ft_by_the_code_table(column, volts):
    """NEC chapter 9 table 8, 20 A, 100 ft one way."""
    ohm = getattr(SIZE_BY_AWG["12"], column) / 1000 * 200
    assert voltage_drop_v(current_a=20, resistance_ohm=ohm) == pytest.approx(volts, abs=0.005)


def test_operating_point_with_ground_return():
    """12.8 V, 25 ft each way of 14 AWG at 20 C, 10 A: 11.538 V at the load."""
    loop = loop_resistance_ohm(
        resistance_per_metre_ohm=resistance_per_metre_ohm(awg="14"),
        length_m=25 * 0.3048,
        return_fraction=1,
    )
    drop = voltage_drop_v(current_a=10, resistance_ohm=loop)
    assert drop == pytest.approx(1.2627, abs=0.0005)
    assert 12.8 - drop == pytest.approx(11.538, abs=0.001)


@given(current=amps, length=metres)
def test_doubling_the_length_doubles_the_drop(current, length):
    def drop(metres_one_way: float) -> float:
        loop = loop_resistance_ohm(
            resistance_per_metre_ohm=0.01, length_m=metres_one_way, return_fraction=1
        )
        return voltage_drop_v(current_a=current, resistance_ohm=loop)

    assert drop(2 * length) == pytest.approx(2 * drop(length))


@given(length=metres)
def test_a_return_wire_is_the_same_as_twice_the_length_without_one(length):
    both = loop_resistance_ohm(resistance_per_metre_ohm=0.01, length_m=length, return_fraction=1)
    out = loop_resistance_ohm(resistance_per_metre_ohm=0.01, length_m=2 * length, return_fraction=0)
    assert both == pytest.approx(out)


@given(part=amps, whole=amps)
def test_percent_of_the_whole(part, whole):
    assert percent_of(part=part, whole=whole) / 100 * whole == pytest.approx(part)
