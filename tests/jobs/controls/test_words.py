"""Rules and states as plain sentences."""

import pytest

from jobs.controls.results import Setting
from jobs.controls.words import Words
from tests.jobs.controls.small import small_logic


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"when": "UP AND PARKED"}, "Mast up turns on when mast button is pressed and parked."),
        (
            {"when": "UP AND (GEAR is P OR NOT TONE)"},
            "Mast up turns on when mast button is pressed and (gear is P or tone button is "
            "released).",
        ),
        ({"when": "NOT (UP OR TONE)"}, "Mast up turns on when not (mast button is pressed or tone "
         "button is pressed)."),
        ({"when": "SPD below scene"}, "Mast up turns on when speed is below 10 mph."),
        ({"when": "NOT SPD below 1"}, "Mast up turns on when speed is 1 mph or more."),
        ({"when": "PB is unknown"}, "Mast up turns on when park brake is unknown."),
        ({"when": "GEAR is not P"}, "Mast up turns on when gear is not P."),
        (
            {"when": "UP", "on_delay_s": 2, "off_delay_s": 5},
            "Mast up turns on when mast button is pressed, for 2 s without a break, and for 5 s "
            "after.",
        ),
        (
            {"when": "UP pressed", "reset": "TONE", "toggle": True},
            "Mast up turns on when mast button just becomes pressed; it stays so until tone "
            "button is pressed, or the same happens again.",
        ),
        ({"when": "UP", "action": "off"}, "Mast up is held off when mast button is pressed."),
    ],
)  # fmt: skip
def test_rules_read_as_sentences(changes: dict[str, object], sentence: str) -> None:
    rule = {"name": "R", "output": "MAST", **changes}
    logic = small_logic(rules=[rule], interlocks=[])
    assert Words(logic).rule(logic.rules[0]) == sentence


def test_a_hidden_value_is_told_apart_from_what_is_true() -> None:
    words = Words(small_logic())
    lost = Setting(signal="STOWED", value="off", known=False)
    assert words.setting(lost) == "stowed contact is unknown (in truth open)"
    nothing_said = Setting(signal="STOWED", value="", known=False)
    assert words.setting(nothing_said) == "stowed contact is unknown"
