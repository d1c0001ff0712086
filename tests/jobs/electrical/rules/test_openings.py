"""Three 12 AWG wires of 3.7 mm are 32.26 mm2; 40 % of an opening of 10.13 mm is the same."""

from dataclasses import replace
from math import sqrt

import pytest

from jobs.electrical.design import PassThrough, ReturnPath
from jobs.findings import Severity
from tests.jobs.electrical.small import add_circuit, answer, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED
RULE, P1 = "pass_through_fill", "pass-through P1"


def through(bore_mm, *, circuits=("A-01",), feeds=(), **circuit):
    """The small design with one opening; its circuit returns through the body unless told."""
    design = small(circuit={"awg": "12", "return_path": ReturnPath.BODY, **circuit})
    opening = PassThrough(
        ref="P1",
        name="Firewall, left",
        bore_m=None if bore_mm is None else bore_mm / 1000,
        through_feeds=feeds,
        through_circuits=circuits,
    )
    return replace(design, pass_throughs=(opening,))


def bore(count, share):
    """Diameter that so many 3.7 mm wires fill to the share exactly."""
    return 3.7 * sqrt(count / share)


@pytest.mark.parametrize(
    ("count", "share"), [(1, 0.53), (2, 0.31), (3, 0.40)], ids=["one", "two", "three"]
)
@pytest.mark.parametrize(
    ("factor", "expected"), [(1.001, PASS), (1.0, PASS), (0.999, FAIL)], ids=["under", "at", "over"]
)
def test_the_share_follows_the_number_of_conductors(count, share, factor, expected):
    design = through(factor * bore(count, share))
    for number in range(2, count + 1):
        design = add_circuit(design, f"A-{number:02d}")
    everything = tuple(circuit.ref for circuit in design.circuits)
    opening = replace(design.pass_throughs[0], through_circuits=everything)
    assert verdict(replace(design, pass_throughs=(opening,)), RULE, P1) is expected


def test_a_return_wire_counts_beside_its_conductor():
    found = answer(through(bore(2, 0.31), return_path=ReturnPath.WIRE), RULE, P1)
    assert found.severity is PASS
    assert found.measured == pytest.approx(31.0)
    assert found.message.startswith("2 conductors fill 31 %")


def test_a_feed_through_the_same_opening_counts_with_its_own_diameter():
    found = answer(through(40.0, feeds=("A",)), RULE, P1)
    # 2 AWG out and back, 12 AWG out: (2 x 10.4^2 + 3.7^2) / 40^2
    assert found.measured == pytest.approx(100 * (2 * 10.4**2 + 3.7**2) / 40**2)


@pytest.mark.parametrize(
    ("design", "words"),
    [
        (through(None), "the diameter of the opening"),
        (through(10.0, circuits=()), "what goes through it"),
        (through(10.0, awg=None), "a known conductor size of A-01"),
    ],
)
def test_what_is_missing_is_named_and_never_passes(design, words):
    found = answer(design, RULE, P1)
    assert found.severity is UNDETERMINED
    assert words in found.message
