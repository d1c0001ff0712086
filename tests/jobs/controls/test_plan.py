"""Test steps, played by somebody who knows nothing but the steps."""

from dataclasses import replace
from functools import cache

import pytest

from jobs.controls.expressions import AllOf, AnyOf, Named, Not
from jobs.controls.logic import Interlock, InterlockKind, Logic, Output, Rule
from jobs.controls.mcdc import Form
from jobs.controls.model import Model
from jobs.controls.plan import test_plan as plan_of
from jobs.controls.prove import prove
from jobs.controls.results import Proved
from jobs.controls.steps import TestPlan
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.replay import first_wrong, needed_for, rule_mutants, with_rule
from tests.jobs.controls.small import small_data, small_logic

TRIED = """
    R03 R04 R05 R06a R10a R15a R17 R19b R19c R19d R19e R22a R24b R34a R34c R35a
"""


@cache
def demo_plan(version: str = "1.3") -> TestPlan:
    return plan_of(demo_logic(version))


@pytest.mark.slow
def test_the_demo_passes_its_own_steps() -> None:
    assert first_wrong(demo_logic("1.3"), demo_plan().steps) == ""


@pytest.mark.slow
def test_the_unplugged_sensor_step_catches_the_single_contact_logic() -> None:
    assert first_wrong(demo_logic("1.2"), demo_plan("1.2").steps) == "I1/MAST_UP/STA unknown"


@pytest.mark.slow
@pytest.mark.parametrize("name", TRIED.split())
def test_one_changed_operator_or_condition_is_caught(name: str) -> None:
    logic = demo_logic("1.3")
    rule = next(each for each in logic.rules if each.name == name)
    small = needed_for(logic, rule.output)
    steps = demo_plan().steps
    assert first_wrong(small, steps, {rule.output}) == ""
    for mutant in rule_mutants(rule):
        changed = with_rule(small, mutant)
        if not first_wrong(changed, steps, {rule.output}):
            assert means_the_same(small, rule, mutant), mutant


def means_the_same(logic: Logic, rule: Rule, mutant: Rule) -> bool:
    """Proved: side by side, the rule and its mutant never differ."""
    rules = [each for each in logic.rules if each.output == rule.output]
    twins = [
        replace(mutant if each.name == rule.name else each, name=f"{each.name}_2", output="TWIN")
        for each in rules
    ]
    one, two = Named(name=rule.output), Named(name="TWIN")
    differ = AnyOf(parts=(AllOf(parts=(one, Not(inner=two))), AllOf(parts=(two, Not(inner=one)))))
    both = replace(
        logic,
        rules=(*logic.rules, *twins),
        outputs=(*logic.outputs, Output(name="TWIN", label="twin")),
    )
    interlock = Interlock(
        name="same",
        label="same",
        kind=InterlockKind.NEVER_UNLESS,
        subjects=(differ,),
        condition=Not(inner=differ),
    )
    return isinstance(prove(Model(both), interlock), Proved)


def test_every_condition_of_the_demo_is_shown_or_reported() -> None:
    plan = demo_plan()
    for coverage in plan.coverage:
        reported = [each for each in plan.not_shown if each.output == coverage.output]
        assert (coverage.form is Form.NOT_POSSIBLE) == bool(reported)
        if coverage.form is Form.UNIQUE_CAUSE:
            assert coverage.rows <= coverage.conditions + 2


def test_steps_need_few_changes() -> None:
    """Each row set up from rest would take far more; the tour keeps it below three settings."""
    plan = demo_plan()
    asserted = sum(len(step.asserts) for step in plan.steps)
    changes = sum(step.changes for step in plan.steps)
    assert asserted > 350
    assert changes < 3 * asserted


def test_steps_read_as_bay_sentences() -> None:
    plan = plan_of(small_logic())
    by_key = {each.key: step for step in plan.steps for each in step.asserts}
    step = by_key["MAST/1111"]
    assert step.expected.startswith("Mast up is on")
    lost = by_key["I1/MAST/PB unknown"]
    assert lost.instruction.endswith("Unplug park brake.")
    assert lost.expected == "Mast up is off."


def test_a_changed_rule_changes_the_digest_of_its_own_steps_only() -> None:
    logic = small_logic()
    rule = replace(logic.rules[1], when=Named(name="PARKED"))
    before = {each.key: each for step in plan_of(logic).steps for each in step.asserts}
    after = {
        each.key: each for step in plan_of(with_rule(logic, rule)).steps for each in step.asserts
    }
    kept = {key for key in before if key in after and before[key].digest == after[key].digest}
    assert {key for key in before if key.startswith(("MAST/", "SIREN"))} <= kept
    assert not {key for key in kept if key.startswith("ALARM/")}


def test_delays_are_waited_for_and_seen_on_both_sides() -> None:
    rules = [
        {"name": "R", "output": "MAST", "when": "UP", "on_delay_s": 3, "off_delay_s": 7},
    ]
    plan = plan_of(small_logic(rules=rules, interlocks=[]))
    waits = {each.expect.on: step for step in plan.steps for each in step.asserts}
    assert waits[True].acts[-1].wait_s == 7 or waits[True].acts[-1].wait_s == 3
    assert "off at first, on after the wait" in waits[True].expected


def test_a_step_that_proves_off_waits_as_long_as_coming_on_would_take() -> None:
    rules = [{"name": "R", "output": "MAST", "when": "UP", "on_delay_s": 3}]
    plan = plan_of(small_logic(rules=rules, interlocks=[]))
    off = next(step for step in plan.steps if not step.asserts[0].expect.on)
    assert off.acts[-1].wait_s == 3


def test_an_impossible_row_is_replaced_or_reported_not_invented() -> None:
    rules = [{"name": "R", "output": "MAST", "when": "SPD at least scene AND SPD at least 1"}]
    plan = plan_of(small_logic(rules=rules, interlocks=[]))
    assert [(each.output, each.condition) for each in plan.not_shown] == [
        ("MAST", "speed is 1 mph or more")
    ]
    assert first_wrong(small_logic(rules=rules, interlocks=[]), plan.steps) == ""


def test_a_rule_with_many_tied_conditions_is_still_covered() -> None:
    """More conditions than tables hold, and one gear lever behind three of them."""
    buttons = [{"name": f"B{n}", "label": f"button {n}", "wiring": "bus"} for n in range(20)]
    gears = ["GEAR is not R", "GEAR is not N", "GEAR is not D"]
    when = " AND ".join([*gears, *[f"B{n}" for n in range(20)]])
    signals = [*small_data()["signals"], *buttons]
    rules = [{"name": "R", "output": "MAST", "when": when}]
    logic = small_logic(signals=signals, rules=rules, interlocks=[])
    plan = plan_of(logic)
    assert plan.not_shown == ()
    assert plan.coverage[0].rows == 24
    assert first_wrong(logic, plan.steps) == ""
