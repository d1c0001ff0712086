"""120 V branches at, just under and just over their limits."""

from dataclasses import replace

import pytest

from jobs.findings import Severity
from tests.jobs.electrical.rules.test_ac import BRANCH, ac
from tests.jobs.electrical.small import answers, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


def branch(**changes):
    return ac(branches=(replace(BRANCH, **changes),))


@pytest.mark.parametrize(
    ("breaker", "amps", "severity"),
    [(15, 12, PASS), (20, 16, PASS), (30, 24, PASS), (20, 15.99, PASS), (20, 16.01, FAIL)],
)
def test_continuous_load_at_80_percent(breaker, amps, severity):
    """NEC 210.20(A)."""
    design = branch(breaker_a=float(breaker), continuous_w=120.0 * amps)
    assert verdict(design, "ac_branch_load", "AC branch 1") is severity


@pytest.mark.parametrize(("other", "severity"), [(2000.0, PASS), (2000.1, FAIL)])
def test_everything_together_at_the_breaker(other, severity):
    design = branch(continuous_w=400.0, other_w=other)
    assert verdict(design, "ac_branch_load", "AC branch 1") is severity


@pytest.mark.parametrize(
    ("awg", "breaker", "severity"),
    [
        *(("14", 15, PASS), ("14", 20, FAIL), ("12", 20, PASS), ("12", 25, FAIL)),
        *(("10", 30, PASS), ("10", 35, FAIL)),
    ],
)
def test_small_conductors(awg, breaker, severity):
    """NEC 240.4(D)."""
    design = branch(awg=awg, breaker_a=float(breaker))
    assert verdict(design, "ac_branch_conductor", "AC branch 1") is severity


@pytest.mark.parametrize(("gfci", "severity"), [(True, PASS), (False, FAIL), (None, UNDETERMINED)])
def test_outlets_have_a_gfci(gfci, severity):
    assert verdict(branch(gfci=gfci), "gfci", "AC branch 1") is severity


def test_a_branch_without_outlets_needs_none():
    assert answers(branch(receptacles=False, gfci=None), "gfci") == []


@pytest.mark.parametrize("gap", [{"breaker_a": None}, {"continuous_w": None}])
def test_missing_data_are_undetermined(gap):
    assert verdict(branch(**gap), "ac_branch_load", "AC branch 1") is UNDETERMINED


@pytest.mark.parametrize("awg", [None, "8"])
def test_a_conductor_without_a_rule_is_undetermined(awg):
    assert verdict(branch(awg=awg), "ac_branch_conductor", "AC branch 1") is UNDETERMINED
