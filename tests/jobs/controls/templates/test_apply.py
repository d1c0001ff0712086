"""Templates are added with the shop's numbers, keep what is there, and refuse what cannot be."""

import pytest

from jobs.controls.expressions import text
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from jobs.controls.templates.apply import apply
from jobs.controls.templates.catalogue import TEMPLATES

EMPTY = Logic(version="1")


def test_numbers_of_the_shop_go_into_rule_and_threshold() -> None:
    logic = apply(EMPTY, TEMPLATES["R17"], {"mph": "12", "wait": "3"})
    rule = next(each for each in logic.rules if each.name == "R17")
    assert (text(rule.when), rule.on_delay_s) == ("SPD at least 12", 3.0)
    speed = next(each for each in logic.signals if each.name == "SPD")
    assert [each.value for each in speed.thresholds] == [12.0]


def test_a_signal_that_is_there_gains_the_threshold_and_keeps_its_others() -> None:
    logic = apply(apply(EMPTY, TEMPLATES["R26"]), TEMPLATES["R10"])
    speed = next(each for each in logic.signals if each.name == "SPD")
    assert [each.value for each in speed.thresholds] == [1.0, 5.0, 15.0]


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"mph": "fast"}, "Off from must be a number, not “fast”"),
        ({"mph": "60"}, "Off from is 60; it must lie within 1 to 25 mph"),
        ({"wait": "nan"}, "Time above it is nan"),
    ],
)
def test_bad_numbers_name_field_value_and_limit(values: dict[str, str], sentence: str) -> None:
    with pytest.raises(LogicError, match=sentence):
        apply(EMPTY, TEMPLATES["R17"], values)


def test_the_same_template_twice_is_refused() -> None:
    with pytest.raises(LogicError, match="R01 is in the logic already"):
        apply(apply(EMPTY, TEMPLATES["R01"]), TEMPLATES["R01"])


def test_what_must_come_first_is_named() -> None:
    with pytest.raises(LogicError, match="R06 acts on SIREN_ARM"):
        apply(EMPTY, TEMPLATES["R06"])


def test_a_cut_acts_on_the_outputs_that_are_there() -> None:
    logic = apply(apply(EMPTY, TEMPLATES["R16"]), TEMPLATES["R17"])
    assert [rule.output for rule in logic.rules if rule.action == "off"] == ["SCENE_B"]


def test_two_values_that_clash_give_a_sentence() -> None:
    with pytest.raises(LogicError, match=r"outputs\[0\].name: .* is not a name"):
        apply(EMPTY, TEMPLATES["R25"], {"light": "my light"})
