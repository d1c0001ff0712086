"""Energy per mode: the demo's figures, the limits, the shed steps, runtime on the battery."""

from dataclasses import replace

import pytest

from jobs.electrical.design import Duty, Mode, ModeSource
from jobs.electrical.rules.energy import usable_fraction
from jobs.findings import Severity
from tests.jobs.electrical.demo import demo_design
from tests.jobs.electrical.small import answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


@pytest.mark.parametrize(
    ("mode", "amps", "severity"),
    [
        ("respond", 131.0, FAIL),
        ("scene", 212.0, FAIL),
        ("shed1", 189.0, Severity.WARNING),
        ("shed2", 169.0, PASS),
    ],
)
def test_demo_demand_reproduces(mode, amps, severity):
    """Respond at hot idle (120 A), the others at hot high idle (190 A)."""
    found = answer(demo_design(), "alternator_budget", f"mode {mode}")
    assert found.measured == pytest.approx(amps, abs=0.05)
    assert found.severity is severity
    by_hand = sum(step.value for step in found.steps[:-2])
    assert by_hand == pytest.approx(found.measured)


def test_demo_scene_says_which_shed_step_fits():
    found = answer(demo_design(), "alternator_budget", "mode scene")
    assert "shed2" in found.fix
    assert "169" in found.fix


def test_demo_on_timers_takes_17_5_amperes():
    found = answer(demo_design(), "battery_runtime", "mode timers on MAIN")
    steps = {step.symbol: step.value for step in found.steps}
    assert steps["I"] == pytest.approx(17.5, abs=0.05)
    assert found.severity is PASS
    assert 0.5 * steps["I"] == pytest.approx(8.8, abs=0.05)


def test_demo_auxiliary_batteries_last_54_minutes_at_93_amperes():
    """2 x 105 Ah, half of it usable: 54 min, by the 20-hour form with k = 1.1."""
    design = demo_design()
    duty = tuple(
        Duty(circuit=item.ref)
        for item in design.circuits
        if item.feed == "B" and item.ref != "B-05"
    )
    engine_off = Mode(key="off", source=ModeSource.BATTERY, duty=duty)
    found = answer(replace(design, modes=(engine_off,)), "battery_runtime", "mode off on AUX")
    assert found.measured == pytest.approx(54, abs=1)


@pytest.mark.parametrize(
    ("base", "severity"),
    [
        (84.9, PASS),
        (85.0, PASS),
        (85.1, Severity.WARNING),
        (95.0, Severity.WARNING),
        (95.1, FAIL),
    ],
)
def test_alternator_at_90_and_100_percent(base, severity):
    """100 A hot; the circuit takes 5 A."""
    design = small(mode={"chassis_base_a": base})
    assert verdict(design, "alternator_budget", "mode on") is severity


@pytest.mark.parametrize(("share", "amps"), [(1.0, 5.0), (0.5, 2.5), (0.0, 0.0)])
def test_duty_counts(share, amps):
    design = small(mode={"duty": (Duty(circuit="A-01", fraction=share),)})
    assert answer(design, "alternator_budget", "mode on").measured == pytest.approx(amps)


def test_the_inverter_counts_by_its_efficiency():
    design = small(mode={"inverter_w": 400.0, "bus_v": 13.2, "duty": ()})
    found = answer(design, "alternator_budget", "mode on")
    assert found.measured == pytest.approx(400 / (13.2 * 0.88))


def test_a_hot_rating_of_220_a_carries_176_a_by_the_rule_of_thumb():
    """AC 43.13-1B 11-35a: 80 % without load control; 176.0 passes, 180 does not."""
    rules = replace(small(), unit=replace(small().unit, alternator_hot_idle_a=0.8 * 220))
    for base, passes in ((171.0, True), (175.0, False)):
        mode = replace(rules.modes[0], chassis_base_a=base)
        found = answer(replace(rules, modes=(mode,)), "alternator_budget", "mode on")
        assert (found.severity is not FAIL) is passes


@pytest.mark.parametrize("source", [ModeSource.IDLE, ModeSource.HIGH_IDLE])
def test_no_hot_rating_is_undetermined(source):
    unit = {"alternator_hot_idle_a": None, "alternator_hot_high_idle_a": None}
    design = small(unit=unit, mode={"source": source})
    found = answer(design, "alternator_budget", "mode on")
    assert found.severity is UNDETERMINED
    assert "cold rating must not be used" in found.fix


def test_an_unknown_current_is_undetermined_unless_the_rest_is_too_much():
    load = {"average_a": None}
    assert verdict(small(load=load), "alternator_budget", "mode on") is UNDETERMINED
    over = small(load=load, mode={"chassis_base_a": 101.0})
    assert verdict(over, "alternator_budget", "mode on") is FAIL


def test_idle_too_low_but_high_idle_enough():
    design = small(mode={"chassis_base_a": 120.0})
    assert "Raise the idle" in answer(design, "alternator_budget", "mode on").fix


def battery(needed_s=None, **supply):
    return small(supply=supply, mode={"source": ModeSource.BATTERY, "needed_s": needed_s})


def test_runtime_by_the_20_hour_form():
    """100 Ah at 5 A lasts its 20 hours whatever the exponent; half of it is usable."""
    for exponent in (1.0, 1.1, 1.3):
        found = answer(battery(peukert=exponent), "battery_runtime", "mode on on MAIN")
        assert found.measured == pytest.approx(600)


@pytest.mark.parametrize(("needed_s", "severity"), [(35_999, PASS), (36_000, PASS), (36_001, FAIL)])
def test_runtime_at_the_limit(needed_s, severity):
    assert verdict(battery(needed_s), "battery_runtime", "mode on on MAIN") is severity


def test_without_a_stated_time_ten_minutes_are_needed():
    assert answer(battery(), "battery_runtime", "mode on on MAIN").limit == 10


def test_a_cut_off_voltage_may_leave_less_than_the_usable_share():
    supply = battery(cutoff_v=12.45).supplies[0]
    assert usable_fraction(supply) == pytest.approx(0.25)
    assert usable_fraction(replace(supply, cutoff_v=11.89)) == supply.usable_fraction


@pytest.mark.parametrize(
    "changes", [{"supply": {"capacity_ah": None}}, {"load": {"average_a": None}}]
)
def test_runtime_without_data_is_undetermined(changes):
    mode = {"source": ModeSource.BATTERY, "chassis_base_a": 1.0}
    design = small(mode=mode, **changes)
    assert verdict(design, "battery_runtime", "mode on on MAIN") is UNDETERMINED


def test_an_inverter_on_the_battery_without_its_feed_is_undetermined():
    design = small(mode={"source": ModeSource.BATTERY, "inverter_w": 100.0})
    assert verdict(design, "battery_runtime", "mode on on the inverter") is UNDETERMINED


def test_modes_with_the_engine_on_have_no_runtime():
    assert answers(small(), "battery_runtime") == []
