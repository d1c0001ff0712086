"""A gap is never a pass."""

from dataclasses import replace

import pytest

from jobs.electrical.check import check
from jobs.electrical.design import Mode, ModeSource, Node, Owner
from jobs.findings import Severity
from tests.jobs.electrical.demo import with_circuit
from tests.jobs.electrical.small import FOOT_M, answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


def test_a_complete_design_passes_with_every_rule():
    design = small()
    asleep = Mode(key="asleep", source=ModeSource.BATTERY, asleep=True)
    found = check(replace(design, modes=(*design.modes, asleep)))
    assert {item.severity for item in found} == {PASS}


def test_a_design_without_modes_or_without_one_asleep_says_what_is_not_judged():
    none = answer(small(modes=()), "modes_entered", "operating modes")
    assert none.severity is UNDETERMINED
    assert "neither energy nor voltage" in none.message
    awake = answer(small(), "modes_entered", "operating modes")
    assert awake.severity is Severity.WARNING
    assert "key-off draw is not judged" in awake.message
    assert answers(small(modes=(), circuits=()), "modes_entered") == []


@pytest.mark.parametrize(
    ("circuit", "word"),
    [
        ({"device_a": None}, "protective device"),
        ({"device_kind": None}, "protective device"),
        ({"awg": None}, "conductor size"),
        ({"length_m": None}, "length"),
        ({"return_path": None}, "return path"),
        ({"label": ""}, "label"),
        ({"loads": ()}, "load"),
    ],
)
def test_each_gap_of_a_circuit_is_named(circuit, word):
    found = answer(small(circuit=circuit), "complete")
    assert found.severity is UNDETERMINED
    assert word in found.message


@pytest.mark.parametrize("owner", Owner)
def test_a_load_is_complete_whoever_brings_it(owner):
    assert verdict(small(load={"owner": owner}), "complete") is PASS


def test_a_load_that_nobody_is_said_to_bring_is_not_a_pass():
    found = answer(small(load={"owner": None}), "complete")
    assert found.severity is UNDETERMINED
    assert found.message == "Not checked: not entered: owner of Lamp."


def test_each_load_of_a_circuit_needs_its_own_owner():
    design = small()
    [lamp] = design.circuits[0].loads
    loads = (lamp, replace(lamp, ref="L02", name="Pump", owner=None))
    found = answer(with_circuit(design, "A-01", loads=loads), "complete")
    assert found.message == "Not checked: not entered: owner of Pump."


def test_a_load_without_place_and_a_node_without_channel():
    assert "place of Lamp" in answer(small(load={"place": ""}), "complete").message
    design = replace(small(circuit={"node": "N1"}), nodes=(Node(ref="N1", feed="A"),))
    assert "channel" in answer(design, "complete").message


@pytest.mark.parametrize("feed", [{"device_a": None}, {"awg": ""}, {"length_m": None}])
def test_each_gap_of_a_feed_is_undetermined(feed):
    assert verdict(small(feed=feed), "complete", "feed A") is UNDETERMINED


def test_a_link_circuit_needs_no_load():
    design = small(circuit={"loads": (), "through_average_a": 2.0, "through_peak_a": 3.0})
    assert verdict(design, "complete") is PASS


@pytest.mark.parametrize("awg", ["11", "5/0", "2.5 mm2", "abc"])
def test_an_unknown_size_is_a_fail(awg):
    found = answer(small(circuit={"awg": awg}), "known_size")
    assert found.severity is FAIL
    assert awg in found.message


@pytest.mark.parametrize(
    ("rule_set", "awg", "count"),
    [("33cfr183", "16", 0), ("33cfr183", "18", 1), ("common-practice", "20", 0)],
)
def test_smallest_single_conductor(rule_set, awg, count):
    """33 CFR 183.425(e): 16 AWG."""
    design = small(rule_set=rule_set, circuit={"awg": awg, "insulation_c": 125})
    assert len(answers(design, "smallest_conductor", "A-01")) == count


@pytest.mark.parametrize(("metres", "count"), [(30.0, 0), (30.1, 1), (400 * FOOT_M, 1)])
def test_a_length_beyond_30_metres_is_questioned(metres, count):
    assert len(answers(small(circuit={"length_m": metres}), "plausible_length")) == count


def test_a_circuit_in_no_mode_warns_unless_it_runs_briefly():
    assert verdict(small(mode={"duty": ()}), "used_in_a_mode") is Severity.WARNING
    brief = small(mode={"duty": ()}, circuit={"intermittent": True})
    assert answers(brief, "used_in_a_mode") == []
    assert answers(small(), "used_in_a_mode") == []
