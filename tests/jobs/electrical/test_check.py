"""The whole check on the demo van, and the rules that come first: ampacity, device, drop."""

from dataclasses import replace

import pytest

from jobs.electrical.check import check
from jobs.findings import Severity
from tests.jobs.electrical.demo import CIRCUITS, demo_design, with_circuit


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
