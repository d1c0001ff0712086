"""The one way to meet a limit, and the order of severities."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.findings import Finding, Severity, at_least, at_most, judged, number, undetermined, worst

values = st.floats(min_value=1e-3, max_value=1e6)


@given(limit=values)
def test_exactly_the_limit_passes_both_ways(limit):
    assert at_most(limit, limit)
    assert at_least(limit, limit)


@given(limit=values)
def test_a_thousandth_beyond_the_limit_does_not(limit):
    assert not at_most(limit * 1.001, limit)
    assert not at_least(limit * 0.999, limit)


def test_the_tail_of_a_sum_does_not_fail_a_limit():
    assert at_most(0.1 + 0.2, 0.3)
    assert at_least(1 - 0.9, 0.1)


def test_nan_meets_no_limit():
    assert not at_most(float("nan"), 1.0)
    assert not at_least(float("nan"), 1.0)


def finding(severity: Severity) -> Finding:
    return Finding(rule="r", severity=severity, subject="s", message="m")


@pytest.mark.parametrize(
    ("present", "expected"),
    [
        ([], Severity.PASS),
        ([Severity.PASS], Severity.PASS),
        ([Severity.PASS, Severity.WARNING], Severity.WARNING),
        ([Severity.WARNING, Severity.UNDETERMINED], Severity.UNDETERMINED),
        ([Severity.UNDETERMINED, Severity.FAIL, Severity.PASS], Severity.FAIL),
    ],
)
def test_the_worst_severity_wins(present, expected):
    assert worst([finding(each) for each in present]) is expected


def test_missing_data_are_never_a_pass():
    found = undetermined(rule="r", subject="s", missing="x is not entered", fix="f", source="")
    assert found.severity is Severity.UNDETERMINED
    assert (found.measured, found.limit) == (None, None)


@pytest.mark.parametrize("passes", [True, False])
def test_what_would_help_is_said_only_when_help_is_needed(passes):
    [found] = judged(
        rule="r",
        subject="s",
        passes=passes,
        message="m",
        measured=1.0,
        limit=2.0,
        unit="A",
        fix="f",
        source="",
    )
    assert found.fix == ("" if passes else "f")


@pytest.mark.parametrize(
    ("value", "text"),
    [(12.5, "12.5"), (125.0, "125"), (0.006, "0.006"), (0.0, "0"), (1234.567, "1234.57")],
)
def test_numbers_are_short(value, text):
    assert number(value) == text
