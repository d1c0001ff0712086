"""The design as JSON: stable names, a faithful round trip, errors with their path."""

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.ac_design import AcSide, Inverter
from jobs.electrical.check import check
from jobs.electrical.design_json import from_json, to_json
from jobs.electrical.input_check import DesignError
from tests.jobs.electrical.demo import demo_design
from tests.jobs.electrical.small import small


def demo_json() -> dict:
    return json.loads(json.dumps(to_json(demo_design())))


def paths(data: object) -> list[str]:
    with pytest.raises(DesignError) as refused:
        from_json(data)
    return [problem.path for problem in refused.value.problems]


def test_the_demo_survives_the_round_trip_through_text():
    again = from_json(demo_json())
    assert again == demo_design()
    assert check(again) == check(demo_design())


def test_the_ac_side_survives_too():
    design = small(ac=AcSide(inverter=Inverter(feed="A", continuous_w=800.0)))
    assert from_json(json.loads(json.dumps(to_json(design)))) == design


def test_field_names_are_stable():
    data = demo_json()
    assert sorted(data) == sorted(
        [
            "ac",
            "circuits",
            "feeds",
            "modes",
            "name",
            "nodes",
            "nominal_v",
            "pass_throughs",
            "rule_set",
            "supplies",
            "unit",
        ]
    )
    assert {"ref", "feed", "awg", "length_m", "device_a", "loads"} <= data["circuits"][0].keys()
    assert {"average_a", "peak_a", "standby_a", "quantity"} <= data["circuits"][0]["loads"][
        0
    ].keys()
    assert data["modes"][0]["duty"][0] == {"circuit": "A-01", "fraction": 1.0}


@pytest.mark.parametrize(
    ("place", "field", "value", "path"),
    [
        (("circuits", 3), "length_m", -1, "circuits[3].length_m"),
        (("circuits", 3), "length_m", 0, "circuits[3].length_m"),
        (("circuits", 3), "length_m", "long", "circuits[3].length_m"),
        (("circuits", 3), "length_m", True, "circuits[3].length_m"),
        (("circuits", 3), "length_m", math.nan, "circuits[3].length_m"),
        (("circuits", 3), "length_m", math.inf, "circuits[3].length_m"),
        (("circuits", 3), "length_m", 1e30, "circuits[3].length_m"),
        (("circuits", 0), "feed", "Z", "circuits[0].feed"),
        (("circuits", 0), "node", "N9", "circuits[0].node"),
        (("circuits", 1), "ref", "A-01", "circuits[1].ref"),
        (("circuits", 1), "ref", "", "circuits[1].ref"),
        (("circuits", 0), "bundle_count", 0, "circuits[0].bundle_count"),
        (("circuits", 0), "bundle_count", 1.5, "circuits[0].bundle_count"),
        (("circuits", 0), "device_kind", "magic", "circuits[0].device_kind"),
        (("circuits", 0), "device_a", -5, "circuits[0].device_a"),
        (("circuits", 0), "length_ft", 3, "circuits[0].length_ft"),
        (("circuits", 0), "loads", {}, "circuits[0].loads"),
        (("circuits", 0, "loads", 0), "average_a", -2, "circuits[0].loads[0].average_a"),
        (("circuits", 0, "loads", 0), "peak_a", 1, "circuits[0].loads[0].peak_a"),
        (("circuits", 0, "loads", 0), "drop_class", "odd", "circuits[0].loads[0].drop_class"),
        (("supplies", 0), "nominal_v", 0, "supplies[0].nominal_v"),
        (("supplies", 0), "kind", None, "supplies[0].kind"),
        (("feeds", 4), "second_supply", "MAIN", "feeds[4].second_supply"),
        (("feeds", 4), "second_supply", "MOON", "feeds[4].second_supply"),
        (("modes", 0, "duty", 0), "circuit", "Z-99", "modes[0].duty[0].circuit"),
        (("modes", 0, "duty", 0), "fraction", 1.01, "modes[0].duty[0].fraction"),
        (("modes", 0), "bus_v", 0, "modes[0].bus_v"),
        (("modes", 0), "closed_links", ["Q"], "modes[0].closed_links[0]"),
        ((), "rule_set", "moon", "rule_set"),
        ((), "modes", None, "modes"),
        (("unit",), "alternator_hot_idle_a", -1, "unit.alternator_hot_idle_a"),
    ],
)
def test_a_fault_is_named_with_its_path(place, field, value, path):
    data = demo_json()
    thing = data
    for step in place:
        thing = thing[step]
    thing[field] = value
    assert path in paths(data)


@pytest.mark.parametrize("data", [None, [], "x", 3])
def test_what_is_no_object_is_refused(data):
    assert paths(data) == ["design"]


def test_a_missing_field_is_named():
    data = demo_json()
    del data["circuits"][2]["feed"]
    del data["supplies"][0]["kind"]
    assert paths(data) == ["supplies[0].kind", "circuits[2].feed"]


def test_all_faults_are_named_at_once():
    data = demo_json()
    data["circuits"][0]["length_m"] = -1
    data["circuits"][5]["device_a"] = 0
    assert paths(data) == ["circuits[0].length_m", "circuits[5].device_a"]


@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(["circuits", "feeds", "ref", "loads", "unit", "modes", "x"]),
                inner,
                max_size=4,
            )
        ),
        max_leaves=12,
    )
)
def test_any_json_is_read_or_refused_with_a_path(data):
    try:
        design = from_json(data)
    except DesignError as refused:
        assert refused.problems
        assert all(problem.path for problem in refused.problems)
    else:
        check(design)


def test_unknown_values_may_be_null_and_are_not_a_pass():
    data = demo_json()
    data["circuits"][1]["length_m"] = None
    design = from_json(data)
    assert design == replace(
        demo_design(),
        circuits=tuple(
            replace(item, length_m=None) if item.ref == "A-02" else item
            for item in demo_design().circuits
        ),
    )
