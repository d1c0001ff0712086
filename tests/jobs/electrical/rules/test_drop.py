"""Voltage drop at, just under and just over its limits; what missing data do to it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.electrical.check import check
from jobs.electrical.design import LoadModel, ReturnPath
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.findings import Severity
from tests.jobs.electrical.small import FOOT_M, add_circuit, answer, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


def length_for(percent: float, *, drop_class: str) -> dict:
    """Circuit and load whose path loses just `percent` of 12 V, found from the drop per foot."""
    probe = small(load={"drop_class": drop_class})
    steps = {step.symbol: step.value for step in answer(probe, "voltage_drop").steps}
    branch = percent / 100 * 12 - steps["V_feed"]
    return {
        "circuit": {"length_m": 10 * FOOT_M * branch / steps["V_branch"]},
        "load": {"drop_class": drop_class},
    }


@pytest.mark.parametrize(
    ("drop_class", "percent", "severity"),
    [
        ("sensitive", 2.999, PASS),
        ("sensitive", 3.0, PASS),
        ("sensitive", 3.001, FAIL),
        ("lamp", 5.0, PASS),
        ("lamp", 5.001, Severity.WARNING),
        ("lamp", 10.0, Severity.WARNING),
        ("lamp", 10.001, FAIL),
        ("general", 9.999, PASS),
        ("general", 10.0, PASS),
        ("general", 10.001, FAIL),
    ],
)
def test_drop_at_each_limit(drop_class, percent, severity):
    found = answer(small(**length_for(percent, drop_class=drop_class)), "voltage_drop")
    assert found.measured == pytest.approx(percent)
    assert found.severity is severity


@pytest.mark.parametrize(("limit", "severity"), [(4.0, PASS), (1.0, FAIL)])
def test_a_circuits_own_limit_stands_before_its_class(limit, severity):
    found = answer(small(circuit={"drop_limit_percent": limit}), "voltage_drop")
    assert (found.limit, found.severity, found.source) == (limit, severity, "design-input")


def test_the_strictest_load_decides():
    design = small()
    circuit = design.circuits[0]
    strict = replace(circuit.loads[0], ref="L02", drop_class="sensitive")
    both = replace(design, circuits=(replace(circuit, loads=(circuit.loads[0], strict)),))
    assert answer(both, "voltage_drop").limit == 3.0


def test_the_feed_counts_with_the_peaks_of_all_its_circuits():
    alone = answer(small(), "voltage_drop")
    pair = answer(add_circuit(small(), "A-02"), "voltage_drop")
    feed = [{step.symbol: step.value for step in item.steps}["V_feed"] for item in (alone, pair)]
    assert feed[1] == pytest.approx(2 * feed[0])


def test_a_circuit_that_runs_briefly_counts_only_for_itself():
    design = add_circuit(small(), "A-02", intermittent=True)
    alone = {step.symbol: step.value for step in answer(small(), "voltage_drop").steps}
    lasting = {step.symbol: step.value for step in answer(design, "voltage_drop").steps}
    brief = {step.symbol: step.value for step in answer(design, "voltage_drop", "A-02").steps}
    assert lasting["V_feed"] == alone["V_feed"]
    assert brief["V_feed"] == pytest.approx(2 * alone["V_feed"])


def test_a_circuit_that_is_its_whole_feed_counts_once():
    found = answer(small(circuit={"whole_feed": True}), "voltage_drop")
    assert "V_feed" not in {step.symbol for step in found.steps}


def test_a_return_through_the_body_counts_a_quarter_of_a_wire():
    wire = {step.symbol: step.value for step in answer(small(), "voltage_drop").steps}
    design = small(circuit={"return_path": ReturnPath.BODY})
    body = {step.symbol: step.value for step in answer(design, "voltage_drop").steps}
    assert body["V_branch"] / wire["V_branch"] == pytest.approx(1.25 / 2)


@pytest.mark.parametrize(
    "changes",
    [
        {"circuit": {"length_m": None}},
        {"circuit": {"awg": None}},
        {"circuit": {"awg": "11"}},
        {"circuit": {"return_path": None}},
        {"feed": {"length_m": None}},
        {"feed": {"awg": "11"}},
        {"load": {"peak_a": None}},
        {"supply": {"nominal_v": None}},
    ],
)
def test_missing_data_are_undetermined(changes):
    assert verdict(small(**changes), "voltage_drop") is UNDETERMINED


def test_a_neighbour_without_current_keeps_the_feeds_drop_unknown():
    load = replace(small().circuits[0].loads[0], peak_a=None)
    found = answer(add_circuit(small(), "A-02", loads=(load,)), "voltage_drop")
    assert found.severity is UNDETERMINED
    assert "A-02" in found.message


def test_a_branch_that_fails_alone_fails_whatever_else_is_missing():
    load = replace(small().circuits[0].loads[0], peak_a=None)
    design = add_circuit(
        small(circuit={"length_m": 100 * FOOT_M}), "A-02", loads=(load,), length_m=FOOT_M
    )
    assert verdict(design, "voltage_drop") is FAIL


def test_400_feet_is_a_fail_and_a_question():
    design = small(circuit={"length_m": 400 * FOOT_M})
    assert verdict(design, "voltage_drop") is FAIL
    assert verdict(design, "plausible_length") is Severity.WARNING


models = st.sampled_from(list(LoadModel))


@given(
    thin=st.integers(0, len(THIN_TO_THICK) - 2),
    amps=st.floats(0.1, 20),
    feet=st.floats(1, 60),
    model=models,
)
def test_a_thicker_conductor_never_worsens_a_finding(thin, amps, feet, model):
    """Every rule about the circuit: none gets worse, and none that passed stops passing."""
    order = [Severity.PASS, Severity.WARNING, Severity.UNDETERMINED, FAIL]

    def judged(awg: str) -> dict[str, int]:
        design = small(
            rule_set="fire-ems",
            circuit={"awg": awg, "length_m": feet * FOOT_M},
            load={"average_a": amps, "peak_a": amps, "model": model},
        )
        return {
            item.rule: order.index(item.severity)
            for item in check(design)
            if item.subject == "A-01"
        }

    sizes = [awg for awg in THIN_TO_THICK if awg not in ("22", "20")]
    thinner, thicker = sizes[thin % (len(sizes) - 1)], sizes[thin % (len(sizes) - 1) + 1]
    before, after = judged(thinner), judged(thicker)
    assert all(after[rule] <= before[rule] for rule in after if rule in before)
