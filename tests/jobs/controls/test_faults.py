"""Single faults: which interlocks break, and what covers them."""

from functools import cache

import pytest

from jobs.controls.faults import FaultLine, fault_table, signal_faults
from jobs.controls.signals import Signal, Wiring
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data, small_logic


@cache
def demo_faults() -> dict[tuple[str, str], FaultLine]:
    return {(line.interlock, line.fault): line for line in fault_table(demo_logic("1.3"))}


def lines(**changes: object) -> dict[tuple[str, str], FaultLine]:
    return {(each.interlock, each.fault): each for each in fault_table(small_logic(**changes))}


def test_a_stuck_park_brake_contact_breaks_the_mast_interlock_uncovered() -> None:
    line = lines()["I1", "park brake stuck at set"]
    assert line.breaks
    assert line.uncovered
    assert not lines()["I1", "park brake stuck at released"].breaks


def test_a_cut_or_lost_signal_is_safe_where_the_rules_name_their_unsafe_value() -> None:
    for interlock, fault in (
        ("I1", "park brake with its wire cut"),
        ("I1", "park brake unknown"),
        ("I1", "gear unknown"),
        ("I1", "speed unknown"),
        ("I3", "gear unknown"),
    ):
        assert not lines()[interlock, fault].breaks


def test_a_wire_that_is_not_monitored_reads_its_value_without_current() -> None:
    signal = Signal(name="X", label="x", wiring=Wiring.NORMALLY_CLOSED, de_energised="on")
    reads = {each.words: each.fault.reads for each in signal_faults(signal)}
    assert reads["x with its wire cut"] == "on"


def test_an_output_stuck_on_breaks_what_it_drives() -> None:
    line = lines()["I1", "mast up stuck on"]
    assert line.uncovered


@pytest.mark.parametrize("when", ["PARKED", "UP"])
def test_a_relay_in_series_covers_an_output_stuck_on(when: str) -> None:
    outputs = [
        {"name": "MAST", "label": "mast up", "series": "RELAY"},
        {"name": "RELAY", "label": "series relay"},
    ]
    rules = [
        small_data()["rules"][0],
        {"name": "R9", "output": "RELAY", "when": when},
    ]
    table = lines(outputs=outputs, rules=rules, interlocks=small_data()["interlocks"][:1])
    line = table["I1", "mast up stuck on"]
    assert line.breaks == (when == "UP")
    assert line.covered_by == (() if line.breaks else ("series relay",))


def test_a_breaker_named_as_second_means_covers_a_broken_line() -> None:
    outputs = [{"name": "MAST", "label": "mast up", "second_means": "Breaker at the mast"}]
    table = lines(
        outputs=outputs,
        rules=small_data()["rules"][:1],
        interlocks=small_data()["interlocks"][:1],
    )
    line = table["I1", "mast up stuck on"]
    assert (line.breaks, line.uncovered) == (True, False)
    assert line.covered_by == ("Breaker at the mast",)


def test_an_interlock_that_is_broken_anyway_has_no_lines() -> None:
    rules = [{"name": "R1", "output": "MAST", "when": "UP"}]
    assert not [key for key in lines(rules=rules) if key[0] == "I1"]


@pytest.mark.slow
def test_the_two_mast_contacts_cover_each_other() -> None:
    table = demo_faults()
    one = table["I2", "mast stowed contact A stuck at closed (mast stowed)"]
    two = table["I2", "mast stowed contact B stuck at open (mast stowed)"]
    assert (one.breaks, one.covered_by) == (False, ("mast stowed contact B",))
    assert (two.breaks, two.covered_by) == (False, ("mast stowed contact A",))
    assert not table["I1", "mast stowed contact A with its wire cut"].breaks


@pytest.mark.slow
def test_the_enable_relay_covers_a_mast_output_stuck_on() -> None:
    line = demo_faults()["I1", "mast up stuck on"]
    assert (line.breaks, line.covered_by) == (False, ("mast-up enable relay",))
