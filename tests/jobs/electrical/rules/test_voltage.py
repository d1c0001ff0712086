"""Voltage at the load in every mode: minimum, drop, and modes without an operating point."""

from dataclasses import replace

import pytest

from jobs.electrical.design import Duty, LoadModel, Mode, ModeSource
from jobs.findings import Severity
from tests.jobs.electrical.small import FOOT_M, answer, answers, linked, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED

LOOP_OHM = 2 * 10 * (2.52537 + 0.15626) / 1000 * 1.1


def test_voltage_at_the_load_is_bus_less_both_drops():
    found = answer(small(), "voltage_at_load")
    assert found.measured == pytest.approx(13.0 - 5 * LOOP_OHM, abs=1e-4)


@pytest.mark.parametrize(("over_v", "severity"), [(-0.001, PASS), (0.0, PASS), (0.001, FAIL)])
def test_the_parts_minimum_at_the_limit(over_v, severity):
    arrives = answer(small(), "voltage_at_load").measured
    assert verdict(small(load={"supply_min_v": arrives + over_v}), "voltage_at_load") is severity


def test_the_lowest_mode_decides_and_is_named():
    low = Mode(
        key="low",
        name="Parked",
        source=ModeSource.BATTERY,
        bus_v=11.0,
        duty=(Duty(circuit="A-01"),),
    )
    design = small()
    design = replace(design, modes=(*design.modes, low))
    found = answer(design, "voltage_at_load")
    assert "Parked" in found.message
    assert found.measured == pytest.approx(11.0 - 5 * LOOP_OHM, abs=1e-4)


def test_internal_resistance_counts_on_the_battery_only():
    supply = {"internal_resistance_ohm": 0.02}
    engine = answer(small(supply=supply), "voltage_at_load").measured
    battery = answer(
        small(supply=supply, mode={"source": ModeSource.BATTERY}), "voltage_at_load"
    ).measured
    assert engine - battery == pytest.approx(0.1)


def test_a_constant_power_load_takes_more_on_a_low_bus():
    """The worksheet at nominal current passes; the solved mode shows the drop of the real one."""
    load = {"model": LoadModel.POWER, "rated_v": 13.0, "average_a": 9.0, "peak_a": 9.0}
    circuit = {"device_a": 15.0, "length_m": 19 * FOOT_M}
    design = small(load=load, circuit=circuit, mode={"bus_v": 10.5})
    sheet, solved = answer(design, "voltage_drop"), answer(design, "drop_in_modes")
    assert sheet.severity is PASS
    assert solved.severity is FAIL
    assert solved.measured > sheet.measured


@pytest.mark.parametrize(("share", "severity"), [(1.001, PASS), (1.0, PASS), (0.999, FAIL)])
def test_drop_in_modes_at_the_limit(share, severity):
    """A constant-power load on a bus below its rated voltage: it loses more than the sheet."""
    load = {"model": LoadModel.POWER, "rated_v": 13.0}
    mode = {"bus_v": 11.0}
    drop = answer(small(load=load, mode=mode), "drop_in_modes").measured
    design = small(load=load, mode=mode, circuit={"drop_limit_percent": drop * share})
    assert verdict(design, "voltage_drop") is PASS
    assert verdict(design, "drop_in_modes") is severity


def test_what_the_worksheet_says_is_not_said_twice():
    design = small(circuit={"length_m": 100 * FOOT_M})
    assert verdict(design, "voltage_drop") is FAIL
    assert answers(design, "drop_in_modes") == []


def test_past_collapse_there_is_a_finding_and_no_number():
    load = {"model": LoadModel.POWER, "average_a": 60.0, "peak_a": 60.0}
    design = small(load=load, circuit={"length_m": 60 * FOOT_M})
    mode = answer(design, "operating_point", "mode on")
    assert mode.severity is FAIL
    assert "circuit A-01" in mode.message
    found = answer(design, "voltage_at_load")
    assert (found.severity, found.measured) == (FAIL, None)


def test_a_mode_with_an_operating_point_says_nothing():
    assert answers(small(), "operating_point") == []


@pytest.mark.parametrize(
    "changes",
    [
        {"load": {"supply_min_v": None}},
        {"load": {"peak_a": None}},
        {"circuit": {"length_m": None}},
        {"circuit": {"awg": "11"}},
        {"feed": {"length_m": None}},
    ],
)
def test_missing_data_are_undetermined(changes):
    assert verdict(small(**changes), "voltage_at_load") is UNDETERMINED


def test_a_circuit_that_is_off_everywhere_has_no_voltage_to_judge():
    assert answers(small(mode={"duty": ()}), "voltage_at_load") == []
    assert (
        answers(small(mode={"duty": (Duty(circuit="A-01", fraction=0.0),)}), "drop_in_modes") == []
    )


def test_two_joined_batteries_share_the_load():
    """With the link closed on the battery, a weak main battery is helped by the auxiliary."""
    design = linked()
    weak = replace(design.supplies[0], internal_resistance_ohm=0.1)
    strong = replace(design.supplies[1], internal_resistance_ohm=0.005)
    modes = {
        closed: replace(
            design,
            supplies=(weak, strong),
            modes=(replace(design.modes[0], source=ModeSource.BATTERY, closed_links=links),),
        )
        for closed, links in ((False, ()), (True, ("A",)))
    }
    alone, helped = (answer(modes[closed], "voltage_at_load").measured for closed in (False, True))
    assert helped > alone + 0.3
