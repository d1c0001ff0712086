"""A design's mode against the same network written for ngspice, node by node."""

from dataclasses import replace

import pytest

from jobs.electrical.case import Case
from jobs.electrical.flow import at_voltage, mode_demand, wire
from tests.jobs.electrical.demo import demo_design
from tests.jobs.electrical.ngspice import voltages


@pytest.mark.slow
@pytest.mark.parametrize("at_peak", [True, False])
def test_every_mode_of_the_demo_agrees_with_ngspice(at_peak, tmp_path):
    case = Case(demo_design())
    for mode in case.design.modes:
        wiring = case.wiring(mode)
        flow = case.flow(mode, at_peak=at_peak)
        demands = case.demands(at_peak=at_peak)
        demand = mode_demand(wiring, mode, demands, by_duty=not at_peak)
        theirs = voltages(wiring.network, demand, tmp_path)
        for ref, node in wiring.circuit_node.items():
            assert flow.voltage_v[ref] == pytest.approx(theirs[node], abs=1e-6)


def test_supplies_deliver_the_sum_of_their_circuits():
    case = Case(demo_design())
    mode = case.design.modes[0]
    flow = case.flow(mode)
    for supply in ("MAIN", "AUX"):
        expected = sum(
            case.circuit_runs[duty.circuit].peak_a
            for duty in mode.duty
            if case.feeds[case.circuits[duty.circuit].feed].supply == supply
        )
        assert flow.supply_a[supply] == pytest.approx(expected)


def test_the_same_wires_at_another_voltage_are_those_wired_for_it():
    """A whole vehicle with a mode on the battery and others on the engine, all voltages moved."""
    design = demo_design()
    for volts in (10.7, 12.6, 14.4):
        for mode in design.modes:
            moved = replace(mode, bus_v=volts)
            case = Case(replace(design, modes=(mode, moved)))
            scaled = at_voltage(wire(case, mode), volts)
            fresh = wire(case, moved)
            assert scaled.network == fresh.network
            assert scaled.planned.base_current == pytest.approx(fresh.planned.base_current)
            assert replace(scaled.planned, base_current=()) == replace(
                fresh.planned, base_current=()
            )
