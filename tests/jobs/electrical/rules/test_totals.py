"""Channels, groups, modules and panels at, just under and just over their limits."""

from dataclasses import replace

import pytest

from jobs.electrical.design import ChannelGroup, Design, Node
from jobs.findings import Severity
from tests.jobs.electrical.small import add_circuit, answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


def on_node(*, load: dict | None = None, node: dict | None = None, **circuit) -> Design:
    design = small(
        load=load,
        circuit={"node": "N1", "channel": "1", "channel_limit_a": 10.0, **circuit},
    )
    made = Node(**{"ref": "N1", "feed": "A", "module_limit_a": 80.0, **(node or {})})
    return replace(design, nodes=(made,))


@pytest.mark.parametrize(
    ("average", "peak", "severity"),
    [
        (7.99, 7.99, PASS),
        (8.0, 8.0, PASS),
        (8.01, 8.01, FAIL),
        (1.0, 10.0, PASS),
        (1.0, 10.01, FAIL),
    ],
)
def test_channel_steady_at_80_percent_and_peak_at_the_limit(average, peak, severity):
    design = on_node(load={"average_a": average, "peak_a": peak})
    assert verdict(design, "channel_limit") is severity


@pytest.mark.parametrize(("trip", "found"), [(9.9, 0), (10.0, 0), (10.1, 1)])
def test_a_trip_is_set_no_higher_than_its_channel(trip, found):
    assert len(answers(on_node(device_a=trip), "channel_trip")) == found


def test_a_channel_without_limit_is_undetermined():
    assert verdict(on_node(channel_limit_a=None), "channel_limit") is UNDETERMINED


def test_a_circuit_without_node_has_no_channel():
    assert answers(small(), "channel_limit") == []


@pytest.mark.parametrize(("amps", "severity"), [(11.99, PASS), (12.0, PASS), (12.01, FAIL)])
def test_module_carries_80_percent_for_hours(amps, severity):
    design = on_node(
        load={"average_a": amps / 2, "peak_a": amps / 2}, node={"module_limit_a": 15.0}
    )
    design = add_circuit(design, "A-02", channel="2")
    assert verdict(design, "module_limit", "node N1") is severity


def test_a_module_without_limit_is_undetermined():
    design = on_node(node={"module_limit_a": None})
    assert verdict(design, "module_limit", "node N1") is UNDETERMINED


@pytest.mark.parametrize(("limit", "severity"), [(12.6, PASS), (12.5, PASS), (12.4, FAIL)])
def test_a_group_has_its_own_limit(limit, severity):
    group = ChannelGroup(label="1 to 2", channels=("1", "2"), limit_a=limit)
    design = add_circuit(on_node(node={"groups": (group,)}), "A-02", channel="2")
    design = add_circuit(design, "A-03", channel="3")
    assert verdict(design, "group_limit", "node N1 group 1 to 2") is severity


@pytest.mark.parametrize(("limit", "severity"), [(12.6, PASS), (12.5, PASS), (12.4, FAIL)])
def test_a_panel_limit_counts_all_circuits_of_the_feed(limit, severity):
    design = add_circuit(small(feed={"panel_limit_a": limit}), "A-02")
    assert verdict(design, "panel_limit", "feed A") is severity


def test_a_circuit_that_runs_briefly_does_not_count_with_others():
    design = add_circuit(small(feed={"panel_limit_a": 7.0}), "A-02", intermittent=True)
    assert verdict(design, "panel_limit", "feed A") is PASS


def test_an_unknown_current_is_never_a_pass():
    load = replace(small().circuits[0].loads[0], average_a=None)
    design = add_circuit(small(feed={"panel_limit_a": 50.0}), "A-02", loads=(load,))
    assert verdict(design, "panel_limit", "feed A") is UNDETERMINED


def test_an_overload_of_what_is_known_fails_whatever_is_missing():
    load = replace(small().circuits[0].loads[0], average_a=None)
    design = add_circuit(small(feed={"panel_limit_a": 5.0}), "A-02", loads=(load,))
    assert verdict(design, "panel_limit", "feed A") is FAIL


def test_two_circuits_on_one_channel():
    design = add_circuit(on_node(), "A-02")
    found = answer(design, "channel_used_once", "A-02")
    assert found.severity is FAIL
    assert "A-01" in found.message
    assert answers(add_circuit(on_node(), "A-02", channel="2"), "channel_used_once") == []


def test_first_revision_fed_scene_outputs_from_the_wrong_node():
    """A node on feed A with feed B's loads as well is over its module limit."""
    design = on_node(load={"average_a": 10.0, "peak_a": 10.0}, device_a=15.0, channel_limit_a=25.0)
    for number in range(2, 9):
        design = add_circuit(design, f"A-0{number}", channel=str(number))
    found = answer(design, "module_limit", "node N1")
    assert (found.severity, found.measured) == (FAIL, 80.0)


@pytest.mark.parametrize(
    ("average", "peak", "severity"),
    [
        (7.99, 7.99, PASS),
        (8.0, 8.0, PASS),
        (8.01, 8.01, FAIL),
        (1.0, 10.0, PASS),
        (1.0, 10.01, FAIL),
    ],
)
def test_contact_steady_at_80_percent_and_peak_at_the_limit(average, peak, severity):
    design = small(
        circuit={"contact_limit_a": 10.0, "channel": "relay R1", "device_a": 20.0},
        load={"average_a": average, "peak_a": peak},
    )
    assert verdict(design, "contact_limit", "contact relay R1") is severity


def test_circuits_behind_one_contact_are_added_up_against_its_lowest_limit():
    design = small(circuit={"contact_limit_a": 12.0, "channel": "LVD t1"})
    assert verdict(design, "contact_limit", "contact LVD t1") is PASS
    design = add_circuit(design, "A-02", contact_limit_a=20.0)
    design = add_circuit(design, "A-03", channel="LVD t2")
    found = answer(design, "contact_limit", "contact LVD t1")
    assert (found.severity, found.measured, found.limit) == (FAIL, 10.0, pytest.approx(9.6))


def test_a_contact_whose_load_is_not_known_is_undetermined_and_none_is_nothing():
    unknown = small(circuit={"contact_limit_a": 10.0}, load={"average_a": None, "peak_a": None})
    assert verdict(unknown, "contact_limit", "contact A-01") is UNDETERMINED
    assert answers(small(circuit={"channel": "7"}), "contact_limit") == []
