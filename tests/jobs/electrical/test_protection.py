"""Formulas of protection."""

import pytest

from jobs.electrical.protection import fault_current_a, least_device_a, least_switch_a
from jobs.electrical.tables.devices import SWITCH_DERATING


@pytest.mark.parametrize(("load", "device"), [(12, 15), (16, 20), (24, 30), (40, 50)])
def test_least_device_for_a_continuous_load(load, device):
    """NEC 210.20(A): the same 80 % from the other side."""
    assert least_device_a(continuous_a=load, other_a=0) == pytest.approx(device)


@pytest.mark.parametrize(("load", "amps"), [("lamp", 20), ("inductive", 8)])
def test_switch_rating_of_a_4_ampere_load_on_12_v(load, amps):
    """AC 43.13-1B table 11-4."""
    [row] = [item for item in SWITCH_DERATING if (item.nominal_v, item.load) == (12, load)]
    assert least_switch_a(load_a=4, derating=row.factor) == amps


def test_fault_current():
    assert fault_current_a(supply_v=13.2, path_ohm=0.0132) == pytest.approx(1000)
