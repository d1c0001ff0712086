"""From a load to its supply with voltages, and what goes dark."""

from dataclasses import replace

import pytest

from jobs.electrical.case import Case
from jobs.electrical.trace import dark_nodes, goes_dark, trace
from tests.jobs.electrical.demo import demo_design, with_circuit
from tests.jobs.electrical.small import linked


@pytest.mark.parametrize(
    ("ref", "supply_v", "volts"),
    [("A-01", 13.8, 12.7), ("B-01", 13.6, 12.7), ("B-02", 13.6, 12.7), ("B-04", 13.6, 12.6)],
)
def test_demo_predictions_of_the_load_test(ref, supply_v, volts):
    """High idle, 13.8 V at the battery and 13.6 V on the auxiliary bus, everything on."""
    points = trace(Case(demo_design()), ref, supply_v=supply_v)
    assert points[0].volts == supply_v
    assert round(points[-1].volts, 1) == volts


def test_points_go_from_the_supply_over_the_panel_to_the_load():
    points = trace(Case(demo_design()), "A-02")
    assert [point.label for point in points] == ["MAIN", "feed A", "A-02"]
    assert points[0].volts > points[1].volts > points[2].volts
    assert points[1].conductor == "2 AWG, 16 ft"
    assert points[1].place == "N1 channel 2"
    assert points[2].device == "15 A electronic"
    assert points[2].conductor == "12 AWG, 18 ft"


def test_a_mode_shows_its_average_voltages():
    case = Case(demo_design())
    mode = case.design.modes[0]
    points = trace(case, "A-02", mode=mode)
    flow = case.flow(mode, at_peak=False)
    assert [point.volts for point in points] == [13.2, flow.feed_v["A"], flow.voltage_v["A-02"]]
    assert points[-1].volts > trace(case, "A-02")[-1].volts


def test_a_circuit_that_is_its_whole_feed_has_no_panel():
    assert [point.label for point in trace(Case(demo_design()), "D-01")] == ["AUX", "D-01"]


def test_missing_lengths_give_no_voltage_beyond_them():
    design = with_circuit(demo_design(), "A-02", length_m=None)
    points = trace(Case(design), "A-02")
    assert points[1].volts is not None
    assert points[2].volts is None
    assert points[2].conductor == ""


@pytest.mark.parametrize(
    ("opened", "dark"),
    [
        ("A-02", ("A-02",)),
        ("feed C", ("C-01", "C-02", "C-03", "C-04", "C-05", "C-06")),
        ("node N1", ("A-01", "A-02", "A-08", "A-11")),
        ("feed D", ("D-01",)),
    ],
)
def test_what_goes_dark_when_something_opens(opened, dark):
    assert goes_dark(Case(demo_design()), opened) == dark


def test_a_fault_on_one_feed_leaves_the_other_feeds_alone():
    dark = goes_dark(Case(demo_design()), "feed A")
    assert dark
    assert all(ref.startswith("A-") for ref in dark)


def powered(ref: str, *by: str) -> Case:
    """The demo with one node's logic on the named circuits."""
    design = demo_design()
    nodes = tuple(
        replace(node, powered_by=by) if node.ref == ref else node for node in design.nodes
    )
    return Case(replace(design, nodes=nodes))


def test_what_a_dead_node_switches_goes_dark_with_it():
    assert goes_dark(powered("N1", "A-14"), "A-14") == ("A-01", "A-02", "A-08", "A-11", "A-14")
    assert dark_nodes(powered("N1", "A-14"), ("A-14",)) == ("N1",)
    # Feed A takes the logic of a node with it whose outputs hang on feed B.
    assert "B-01" in goes_dark(powered("N3", "A-14"), "feed A")


def test_a_node_with_two_circuits_lives_while_one_of_them_does():
    assert goes_dark(powered("N1", "A-14", "C-01"), "A-14") == ("A-14",)
    assert dark_nodes(powered("N1", "A-14", "C-01"), ("A-14", "C-01")) == ("N1",)


def test_darkness_spreads_from_node_to_node():
    design = powered("N1", "A-14").design
    nodes = tuple(
        replace(node, powered_by=("A-01",)) if node.ref == "N3" else node for node in design.nodes
    )
    dark = goes_dark(Case(replace(design, nodes=nodes)), "A-14")
    assert {"A-01", "B-01"} <= set(dark)


def test_a_battery_whose_link_is_closed_leaves_nothing_dark():
    design = linked()
    closed = replace(design.modes[0], closed_links=("A",))
    assert goes_dark(Case(design), "supply MAIN") == ("A-01",)
    assert goes_dark(Case(replace(design, modes=(closed,))), "supply MAIN", mode=closed) == ()


@pytest.mark.parametrize("opened", ["feed Z", "node N9", "supply MOON", "", "Z-99"])
def test_what_does_not_exist_cannot_be_opened(opened):
    with pytest.raises(ValueError, match="nothing called"):
        goes_dark(Case(demo_design()), opened)
