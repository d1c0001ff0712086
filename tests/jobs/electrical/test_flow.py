"""A design's mode against the same network written for ngspice, node by node."""

import pytest

from jobs.electrical.case import Case
from jobs.electrical.flow import mode_demand
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
