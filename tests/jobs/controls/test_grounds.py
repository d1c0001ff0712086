from typing import Any

from jobs.controls.grounds import fingerprint
from jobs.controls.logic import Logic
from tests.jobs.controls.small import small_data, small_logic


def of(logic: Logic, name: str, fault: str = "") -> str:
    interlock = next(each for each in logic.interlocks if each.name == name)
    return fingerprint(logic, interlock, fault)


def with_rule(number: int, **changes: Any) -> Logic:
    rules = small_data()["rules"]
    rules[number] |= changes
    return small_logic(rules=rules)


def test_fingerprint_changes_with_a_rule_behind_the_interlock():
    changed = with_rule(0, when="UP AND GEAR is P")
    assert of(changed, "I1") != of(small_logic(), "I1")


def test_fingerprint_stays_when_another_rule_changes():
    changed = with_rule(2, when="TONE pressed AND GEAR is D")
    assert of(changed, "I1") == of(small_logic(), "I1")


def test_fingerprint_stays_when_only_words_change():
    assert of(with_rule(0, why="Because"), "I1") == of(small_logic(version="2"), "I1")


def test_fingerprint_of_each_fault_is_its_own():
    logic = small_logic()
    assert len({of(logic, "I1"), of(logic, "I1", "gear stuck"), of(logic, "I3")}) == 3


def test_fingerprint_changes_with_a_signal_behind_a_term():
    signals = small_data()["signals"]
    signals[1] |= {"unsafe": "on"}
    assert of(small_logic(signals=signals), "I1") != of(small_logic(), "I1")


def test_fingerprint_stays_when_an_assumption_is_about_other_things():
    signals = small_data()["signals"] + [{"name": "DOOR", "label": "door"}]
    before = small_logic(signals=signals)
    assumed = [{"name": "A", "holds": "NOT DOOR", "reason": "No door"}]
    after = small_logic(signals=signals, assumptions=assumed)
    assert of(after, "I1") == of(before, "I1")


def test_fingerprint_changes_with_an_assumption_about_it():
    assumed = [{"name": "A", "holds": "GEAR is known", "reason": "Wired"}]
    assert of(small_logic(assumptions=assumed), "I1") != of(small_logic(), "I1")
