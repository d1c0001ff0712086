"""What is left for the batteries, at, just under and just over what the source gives."""

from dataclasses import replace

import pytest

from jobs.electrical.ac_design import AcSide, Charger, ShoreInlet
from jobs.electrical.check import check
from jobs.electrical.design import ModeSource
from jobs.findings import Severity
from tests.jobs.electrical.small import answer, answers, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED
ON = "mode on"


def on_shore(output_a=30.0, mode=None, **changes):
    """Five amperes on shore power beside a battery of 100 Ah, half of it usable."""
    design = small(
        mode={"source": ModeSource.SHORE} | (mode or {}), supply={"capacity_ah": 100.0}, **changes
    )
    charger = None if output_a is None else Charger(output_a=output_a)
    return replace(design, ac=AcSide(shore=ShoreInlet(rating_a=20.0), charger=charger))


@pytest.mark.parametrize(("output_a", "severity"), [(5.001, PASS), (5.0, PASS), (4.999, FAIL)])
def test_the_charger_carries_what_is_on(output_a, severity):
    assert verdict(on_shore(output_a), "charging", ON) is severity


def test_what_is_left_puts_back_what_was_used_with_its_losses():
    found = answer(on_shore(30.0), "charging", ON)
    steps = {step.symbol: step for step in found.steps}
    assert steps["Q_used"].value == pytest.approx(50)
    assert steps["t_back"].value == pytest.approx(1.15 * 50 / (30 - 5))
    assert "are back in 2.3 h or more" in found.message


def test_a_charger_with_nothing_left_promises_nothing():
    assert "back in" not in answer(on_shore(5.0), "charging", ON).message


@pytest.mark.parametrize(
    "design", [on_shore(None), on_shore(load={"average_a": None}), replace(on_shore(), ac=None)]
)
def test_missing_data_are_undetermined(design):
    assert verdict(design, "charging", ON) is UNDETERMINED


def test_what_is_known_to_be_too_much_fails_whatever_is_missing():
    design = on_shore(2.0, mode={"chassis_base_a": 3.0})
    [load] = design.circuits[0].loads
    circuits = (replace(design.circuits[0], loads=(replace(load, average_a=None),)),)
    assert verdict(replace(design, circuits=circuits), "charging", ON) is FAIL


@pytest.mark.parametrize(("hot_a", "count"), [(25.0, 1), (5.0, 0), (4.0, 0), (None, 0)])
def test_with_the_engine_on_only_the_hours_are_told(hot_a, count):
    design = small(unit={"alternator_hot_idle_a": hot_a}, supply={"capacity_ah": 100.0})
    found = answers(design, "charging")
    assert [each.severity for each in found] == [PASS] * count
    assert not any(each.rule == "charging" for each in check(design, problems_only=True))


def test_nothing_charges_on_the_battery():
    assert answers(small(mode={"source": ModeSource.BATTERY}), "charging") == []
