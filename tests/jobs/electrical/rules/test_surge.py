"""Switch-on surges at, just under and just over what the device lets pass."""

import pytest

from jobs.findings import Severity
from tests.jobs.electrical.small import answers, small, verdict

PASS, FAIL = Severity.PASS, Severity.FAIL


@pytest.mark.parametrize(
    ("amps", "seconds", "severity"),
    [
        (19.99, 0.05, PASS),
        (20.0, 0.1, PASS),
        (20.01, 0.1, FAIL),
        (10.0, 0.11, PASS),
        (10.01, 0.11, FAIL),
    ],
)
def test_surge_on_a_10_a_device(amps, seconds, severity):
    design = small(load={"inrush_a": amps, "inrush_s": seconds})
    assert verdict(design, "inrush") is severity


def test_pieces_of_one_load_start_together():
    load = {"inrush_a": 8.0, "inrush_s": 0.05, "quantity": 3, "average_a": 1.0, "peak_a": 1.0}
    assert verdict(small(load=load), "inrush") is FAIL


def test_a_surge_of_unknown_length_is_undetermined():
    design = small(load={"inrush_a": 12.0, "inrush_s": None})
    assert verdict(design, "inrush") is Severity.UNDETERMINED


def test_without_surge_there_is_nothing_to_say():
    assert answers(small(), "inrush") == []
