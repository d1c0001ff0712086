"""Faulty data in a frozen design: found with a path, never calculated, never a crash."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.check import check
from jobs.electrical.design import Node, PassThrough
from jobs.electrical.input_check import (
    DesignError,
    Problem,
    circuit_problems,
    design_problems,
)
from jobs.findings import Severity
from tests.jobs.electrical.demo import demo_design, with_circuit
from tests.jobs.electrical.small import small


def test_the_demo_has_no_problem():
    assert design_problems(demo_design()) == []


@pytest.mark.parametrize(
    ("changes", "text"),
    [
        ({"circuit": {"length_m": 0.0}}, "circuits[0].length_m: 0 must be above 0"),
        ({"circuit": {"length_m": math.nan}}, "circuits[0].length_m: nan must be above 0"),
        ({"circuit": {"bundle_count": 0}}, "circuits[0].bundle_count: 0 must be at least 1"),
        ({"supply": {"nominal_v": 0.0}}, "supplies[0].nominal_v: 0 must be above 0"),
        ({"supply": {"peukert": 0.9}}, "supplies[0].peukert: 0.9 must be at least 1 and at most 2"),
        ({"load": {"average_a": -1.0}}, "circuits[0].loads[0].average_a: -1 must be at least 0"),
        ({"load": {"peak_a": math.inf}}, "circuits[0].loads[0].peak_a: inf must be at least 0"),
        (
            {"circuit": {"through_average_a": 2.0}},
            "circuits[0].through_peak_a: 0 is below the average of 2",
        ),
        ({"feed": {"supply": "X"}}, 'feeds[0].supply: there is no supply "X"'),
        ({"mode": {"inverter_efficiency": 0.0}}, "modes[0].inverter_efficiency"),
        ({"rule_set": "x"}, 'rule_set: no rule set "x" (known: common-practice'),
        (
            {"nodes": (Node(ref="N1", feed="A", powered_by=("A-09",)),)},
            'nodes[0].powered_by[0]: there is no circuit "A-09"',
        ),
        (
            {"pass_throughs": (PassThrough(ref="P1", bore_m=1.0, through_feeds=("Z",)),)},
            'pass_throughs[0].through_feeds[0]: there is no feed "Z"',
        ),
        (
            {"pass_throughs": (PassThrough(ref="P1", bore_m=-1.0),)},
            "pass_throughs[0].bore_m: -1 must be above 0",
        ),
        ({"nominal_v": -12.0}, "nominal_v: -12 must be above 0"),
    ],
)
def test_problems_name_path_value_and_limit(changes, text):
    assert any(str(item).startswith(text) for item in design_problems(small(**changes)))


def test_a_node_on_another_feed():
    design = replace(demo_design(), nodes=(*demo_design().nodes, Node(ref="N9", feed="C")))
    [problem] = design_problems(with_circuit(design, "A-02", node="N9"))
    assert problem == Problem(path="circuits[1].node", message='node "N9" is on feed C, not A')


@pytest.mark.parametrize(
    "changes",
    [
        {"length_m": -1.0},
        {"awg": "11"},
        {"feed": "Z"},
        {"device_a": math.nan},
        {"insulation_c": 0},
        {"loads": ()},
        {"length_m": 121.92},
        {"bundle_count": 10**6},
        {"through_average_a": 5.0},
    ],
)
def test_no_absurd_circuit_crashes_or_gives_nan(changes):
    for found in check(with_circuit(demo_design(), "A-02", **changes)):
        assert found.measured is None or math.isfinite(found.measured)
        assert "nan" not in found.message.lower() or found.rule == "input"


@pytest.mark.parametrize("name", ["supplies", "feeds", "nodes", "circuits", "modes"])
def test_a_design_without_one_kind_of_thing_does_not_crash(name):
    check(replace(demo_design(), **{name: ()}))


def test_an_empty_design_has_nothing_to_say():
    assert (
        check(replace(demo_design(), supplies=(), feeds=(), nodes=(), circuits=(), modes=())) == []
    )


def test_every_problem_is_a_fail_of_rule_input():
    found = check(with_circuit(demo_design(), "A-02", length_m=-1.0, device_a=-1.0))
    assert {item.rule for item in found} == {"input"}
    assert {item.severity for item in found} == {Severity.FAIL}
    assert [item.subject for item in found] == ["circuits[1].device_a", "circuits[1].length_m"]


def test_the_error_reads_as_sentences():
    error = DesignError([Problem(path="a", message="b"), Problem(path="c", message="d")])
    assert str(error) == "a: b; c: d"
    assert isinstance(error, ValueError)


CELL = {
    "device_a": st.sampled_from([None, 0.0, 15.0, -1.0, math.inf]),
    "awg": st.sampled_from([None, "12", "4/0", "no such size"]),
    "insulation_c": st.sampled_from([60, 125, 0, -5]),
    "length_m": st.sampled_from([None, 0.0, 3.0, 121.92, 1e12, math.nan]),
    "through_average_a": st.sampled_from([0.0, 5.0, -1.0]),
}


@given(place=st.integers(0, 34), cells=st.fixed_dictionaries(CELL))
def test_problems_of_an_edited_circuit_are_those_of_the_whole_design(place, cells):
    design = demo_design()
    ref = design.circuits[place % len(design.circuits)].ref
    edited = with_circuit(design, ref, **cells)
    assert circuit_problems(edited, ref) == design_problems(edited)
