"""Logic that makes no sense is refused before anything is proved about it."""

from typing import Any

import pytest

from jobs.controls.order import LogicError
from tests.jobs.controls.small import small_data, small_logic


def refused(**changes: Any) -> str:
    with pytest.raises(LogicError) as caught:
        small_logic(**changes)
    return str(caught.value)


def rule(name: str, output: str, when: str, **more: object) -> dict[str, object]:
    return {"name": name, "output": output, "when": when, **more}


def test_a_circle_of_rules_is_named() -> None:
    rules = [rule("A", "MAST", "SIREN"), rule("B", "SIREN", "ALARM"), rule("C", "ALARM", "MAST")]
    message = refused(rules=rules, interlocks=[])
    assert "The rules form a circle" in message
    assert all(name in message for name in ("MAST", "SIREN", "ALARM"))


def test_an_output_that_looks_at_itself_is_a_circle() -> None:
    assert "circle: MAST → MAST" in refused(rules=[rule("A", "MAST", "NOT MAST")], interlocks=[])


def test_a_circle_of_terms_is_named() -> None:
    terms = [
        {"name": "T1", "label": "one", "when": "T2 OR UP"},
        {"name": "T2", "label": "two", "when": "NOT T1"},
    ]
    assert "The terms form a circle" in refused(terms=terms, rules=[], interlocks=[])


def test_a_circle_through_a_term_is_found() -> None:
    terms = [{"name": "T1", "label": "one", "when": "MAST"}]
    assert "circle" in refused(terms=terms, rules=[rule("A", "MAST", "T1")], interlocks=[])


def test_two_rules_on_one_output_need_different_priorities() -> None:
    rules = [rule("A", "MAST", "UP"), rule("B", "MAST", "TONE")]
    assert "A and B both drive MAST with priority 0" in refused(rules=rules)
    rules[1]["priority"] = 1
    small_logic(rules=rules)


def test_terms_that_double_at_every_step_are_refused_at_once() -> None:
    terms = [{"name": "T0", "label": "0", "when": "UP OR TONE"}]
    terms += [
        {"name": f"T{n}", "label": str(n), "when": f"T{n - 1} AND NOT T{n - 1}"}
        for n in range(1, 35)
    ]
    message = refused(terms=terms, rules=[rule("A", "MAST", "T34")], interlocks=[])
    assert "A has 34,359,738,368 conditions with its terms written out; at most 200" in message


def test_a_long_chain_of_terms_is_refused() -> None:
    terms = [{"name": "T0", "label": "0", "when": "UP"}]
    terms += [{"name": f"T{n}", "label": str(n), "when": f"T{n - 1}"} for n in range(1, 1500)]
    assert "a chain of 41; at most 40" in refused(terms=terms, rules=[], interlocks=[])


def test_a_long_chain_of_outputs_is_worked_through() -> None:
    outputs = [{"name": f"O{n}", "label": f"output {n}"} for n in range(1500)]
    rules = [rule("R0", "O0", "UP")]
    rules += [rule(f"R{n}", f"O{n}", f"NOT O{n - 1}") for n in range(1, 1500)]
    small_logic(outputs=outputs, rules=rules, interlocks=[])


def test_outputs_in_series_in_a_circle_are_refused() -> None:
    outputs = [
        {"name": "MAST", "label": "mast", "series": "SIREN"},
        {"name": "SIREN", "label": "siren", "series": "MAST"},
    ]
    assert "circle" in refused(outputs=outputs, rules=[], interlocks=[])


def test_contradicting_assumptions_are_refused_because_they_would_prove_everything() -> None:
    assumptions = [
        {"name": "A1", "holds": "UP", "reason": "one"},
        {"name": "A2", "holds": "NOT UP", "reason": "other"},
    ]
    assert "contradict each other" in refused(assumptions=assumptions)
    small_logic(assumptions=assumptions[:1])


def test_a_press_hidden_in_a_term_cannot_be_waited_for() -> None:
    terms = [
        {"name": "HIT", "label": "hit", "when": "UP pressed"},
        {"name": "AGAIN", "label": "again", "when": "HIT"},
    ]
    rules = [rule("A", "MAST", "AGAIN", on_delay_s=2)]
    assert "mere press" in refused(terms=terms, rules=rules, interlocks=[])


def test_a_head_lights_no_colour_it_lacks_and_not_too_many() -> None:
    head = {"name": "H", "label": "head", "zone": "front", "colours": ["red", "white"]}
    blue = {**head, "patterns": [{"name": "p", "when": "UP", "colours": ["blue"]}]}
    assert "p uses blue, which H does not have" in refused(heads=[blue])
    two = {"name": "p", "when": "UP", "colours": ["red", "white"]}
    assert "p lights 2 colours; at most 1" in refused(heads=[{**head, "patterns": [two]}])
    small_logic(heads=[{**head, "patterns": [{**two, "alternates": True}]}])


def test_colours_need_a_profile_to_be_judged_by() -> None:
    interlock = {"name": "C", "label": "colours", "kind": "colour_within_profile"}
    assert "legal profile is empty" in refused(interlocks=[interlock])


def test_names_may_not_differ_in_capitals_only() -> None:
    outputs = [*small_data()["outputs"], {"name": "up", "label": "other"}]
    assert "“up” is used twice" in refused(outputs=outputs)
