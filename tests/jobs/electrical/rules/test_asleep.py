"""Key-off current at, just under and just over its limits."""

from dataclasses import replace

import pytest

from jobs.electrical.design import ModeSource, Node
from jobs.findings import Severity
from tests.jobs.electrical.small import answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


def asleep(standby_a, baseline_a=0.02):
    return small(
        load={"standby_a": standby_a},
        mode={"source": ModeSource.BATTERY, "asleep": True},
        unit={"keyoff_baseline_a": baseline_a},
    )


@pytest.mark.parametrize(("added", "severity"), [(0.0299, PASS), (0.03, PASS), (0.0301, FAIL)])
def test_added_current_at_30_ma(added, severity):
    assert verdict(asleep(added), "asleep_current", "mode on") is severity


@pytest.mark.parametrize(("base", "severity"), [(0.064, PASS), (0.065, PASS), (0.0651, FAIL)])
def test_total_at_85_ma(base, severity):
    found = answer(asleep(0.02, base), "asleep_current", "mode on")
    assert found.severity is severity
    if severity is FAIL:
        assert found.limit == pytest.approx(85)


def test_nodes_count_with_their_sleep_current():
    design = replace(asleep(0.01), nodes=(Node(ref="N1", feed="A", sleep_a=0.015),))
    assert answer(design, "asleep_current", "mode on").measured == pytest.approx(25)


def test_days_to_half_charge_are_said():
    """100 Ah, 50 %, 40 mA: 52 days."""
    assert "52 days" in answer(asleep(0.02), "asleep_current", "mode on").message


@pytest.mark.parametrize(
    "design",
    [
        asleep(None),
        asleep(0.01, None),
        replace(asleep(0.01), nodes=(Node(ref="N1", feed="A"),)),
    ],
)
def test_a_missing_current_is_undetermined(design):
    assert verdict(design, "asleep_current", "mode on") is UNDETERMINED


def test_a_mode_that_is_not_asleep_has_no_key_off_current():
    assert answers(small(), "asleep_current") == []
    assert answers(asleep(0.01), "battery_runtime") == []


def test_the_sum_stands_there_piece_by_piece():
    design = replace(asleep(0.002), nodes=(Node(ref="N1", feed="A", sleep_a=0.003),))
    steps = answer(design, "asleep_current", "mode on").steps
    lines = {step.symbol: (step.formula, step.value) for step in steps}
    assert lines["I_N1"] == ("asleep", pytest.approx(3))
    assert lines["I_A-01"] == ("1 x 2 mA x 1", pytest.approx(2))
    assert lines["I_added"][1] == pytest.approx(5)
    assert lines["I_total"][1] == pytest.approx(5 + lines["I_baseline"][1])
