"""The whole check on the demo van, and the rules that come first: ampacity, device, drop."""

import re
from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.quantities import AMPERE, FOOT, VOLT
from jobs.electrical.check import check
from jobs.electrical.design import Duty, Mode, ModeSource
from jobs.findings import Severity
from tests.jobs.electrical.demo import CIRCUITS, demo_design, with_circuit
from tests.jobs.electrical.small import FOOT_M, small


def find(findings, rule, subject):
    [found] = [item for item in findings if (item.rule, item.subject) == (rule, subject)]
    return found


def test_first_revision_of_a_02_fails_at_12_2_percent():
    thin = with_circuit(demo_design(), "A-02", awg="14")
    drop = find(check(thin), "voltage_drop", "A-02")
    steps = {step.symbol: step.value for step in drop.steps}
    assert drop.severity is Severity.FAIL
    assert round(drop.measured, 1) == 12.2
    assert [round(steps[name], 2) for name in ("V_branch", "V_feed", "V_total")] == [
        1.08,
        0.53,
        1.61,
    ]


def test_second_revision_of_a_02_passes_at_9_2_percent():
    drop = find(check(demo_design()), "voltage_drop", "A-02")
    steps = {step.symbol: step.value for step in drop.steps}
    assert drop.severity is Severity.PASS
    assert round(drop.measured, 1) == 9.2
    assert round(steps["V_total"], 2) == 1.21


@pytest.mark.parametrize("row", CIRCUITS, ids=lambda row: row[0])
def test_branch_drop_of_the_demo_reproduces(row):
    drop = find(check(demo_design()), "voltage_drop", row[0])
    steps = {step.symbol: step.value for step in drop.steps}
    assert steps["V_branch"] == pytest.approx(row[6], abs=0.006)


def test_problems_only_gives_the_same_findings_without_the_passes():
    design = with_circuit(demo_design(), "A-02", awg="14", device_a=30.0)
    everything = [item for item in check(design) if item.severity is not Severity.PASS]
    assert check(design, problems_only=True) == everything


def test_a_reference_that_leads_nowhere_is_a_finding_with_its_path():
    wrong = with_circuit(demo_design(), "A-02", feed="Z")
    found = check(wrong)[0]
    assert found.severity is Severity.FAIL
    assert found.subject == "circuits[1].feed"
    assert 'there is no feed "Z"' in found.message


def test_an_unknown_rule_set_is_a_finding():
    [found] = check(replace(demo_design(), rule_set="moon"))
    assert found.subject == "rule_set"


def redo(formula: str, known: dict[str, float]) -> float:
    """Work out a printed line with a pencil: units struck out, earlier results put in."""
    for symbol, value in sorted(known.items(), key=lambda item: -len(item[0])):
        formula = formula.replace(symbol, repr(value))
    formula = re.sub(r"\((?:[a-z]+[ ,]*)+\)", "", formula)
    formula = re.sub(r"\b(?:ft|in|ohm|A|V|Ah|W|h)\b", "", formula)
    formula = formula.replace("^", "**").replace(" x ", " * ").replace("sqrt", "SQRT")
    assert re.fullmatch(r"[\d\s.+*/()e-]*(?:SQRT[\d\s.+*/()e-]*)?", formula), formula
    return eval(formula, {"__builtins__": {}}, {"SQRT": sqrt})


@pytest.mark.parametrize(
    ("rule", "subject", "symbols"),
    [
        (
            "voltage_drop",
            "A-02",
            ["R_feed", "V_feed", "R_branch", "V_branch", "V_total", "drop"],
        ),
        ("conductor_ampacity", "A-01", ["I_heat", "I_z"]),
        ("device_carries_load", "feed B", ["I_heat", "I_allowed"]),
        ("fault_clearing", "A-02", ["I_fault", "I_open"]),
        ("battery_runtime", "mode timers on MAIN", ["t_empty", "t_usable"]),
    ],
)
def test_a_printed_calculation_can_be_redone_from_its_text_alone(rule, subject, symbols):
    steps = find(check(demo_design()), rule, subject).steps
    known: dict[str, float] = {}
    for step in steps:
        if step.symbol in symbols:
            assert redo(step.formula, known) == pytest.approx(step.value, rel=0.005), step
        known[step.symbol] = step.value


def test_every_finding_reads_as_a_sentence_with_a_way_out():
    design = with_circuit(demo_design(), "A-02", awg="18", device_a=60.0, length_m=None)
    for found in check(design):
        assert found.message.endswith(".")
        assert bool(found.fix) is (found.severity is not Severity.PASS)
        assert found.fix == "" or found.fix.endswith(".")


def test_equal_designs_give_equal_findings():
    assert check(demo_design()) == check(demo_design())


def test_only_what_a_careful_person_would_question_is_left_on_the_demo():
    """Energy in three modes, two circuits that no mode shows, and no mode that is asleep."""
    left = {(item.rule, item.subject) for item in check(demo_design(), problems_only=True)}
    assert left == {
        ("alternator_budget", "mode respond"),
        ("alternator_budget", "mode scene"),
        ("alternator_budget", "mode shed1"),
        ("modes_entered", "operating modes"),
        ("used_in_a_mode", "A-12"),
        ("used_in_a_mode", "B-12"),
    }


@settings(max_examples=40)
@given(
    feet=st.decimals("0.5", "150", places=1),
    amps=st.decimals("0.1", "20", places=2),
    volts=st.decimals("11", "15", places=1),
)
def test_the_units_in_which_values_are_kept_do_not_alter_what_is_found(feet, amps, volts):
    """Feet, amperes and volts straight into the formulas, or by way of the stored mm, mA and mV."""
    typed = small(
        circuit={"length_m": float(feet) * FOOT_M},
        load={"average_a": float(amps), "peak_a": float(amps)},
        supply={"nominal_v": float(volts)},
    )
    milliamps, millivolts = AMPERE.to_stored(amps), VOLT.to_stored(volts)
    stored = small(
        circuit={"length_m": float(FOOT.to_stored(feet)) / 1000},
        load={"average_a": milliamps / 1000, "peak_a": milliamps / 1000},
        supply={"nominal_v": millivolts / 1000},
    )
    pairs = list(zip(check(typed), check(stored), strict=True))
    assert pairs
    for one, other in pairs:
        assert (one.rule, one.subject, one.severity) == (other.rule, other.subject, other.severity)
        assert one.measured == pytest.approx(other.measured)


def test_a_mode_is_called_by_its_name_and_kept_by_its_key():
    on = (Duty(circuit="A-01", fraction=1.0),)
    scene = Mode(
        key="scene", name="On scene, engine idling", source=ModeSource.IDLE, bus_v=13.2, duty=on
    )
    dark = Mode(key="dark", source=ModeSource.BATTERY, bus_v=12.2, duty=on)
    findings = check(replace(demo_design(), modes=(scene, dark)))
    [budget] = [each for each in findings if each.rule == "alternator_budget"]
    assert (budget.subject, budget.called) == ("mode scene", "mode On scene, engine idling")
    [runtime] = [each for each in findings if each.rule == "battery_runtime"]
    assert (runtime.subject, runtime.called) == ("mode dark on MAIN", "mode dark on MAIN")
    assert {each.called for each in findings if each.rule == "voltage_drop"} >= {"A-02"}
