"""What can happen: outputs come on, latches can be released."""

from typing import Any

import pytest

from jobs.controls import prove as prove_module
from jobs.controls.proofs import prove_all
from jobs.controls.results import Proved, Refuted, Result, TooLarge
from tests.jobs.controls.small import small_data, small_logic


def judged(kind: str, rules: list[dict[str, Any]], **more: Any) -> dict[str, Result]:
    interlock = {"name": "L", "label": "all of them", "kind": kind, "safety": False}
    logic = small_logic(rules=rules, interlocks=[interlock], **more)
    return {line.name: result for line, result in prove_all(logic)}


def test_each_output_has_a_line_and_a_state_that_shows_it() -> None:
    results = judged("output_reachable", small_data()["rules"])
    assert list(results) == ["L.MAST", "L.ALARM", "L.SIREN"]
    shown = results["L.SIREN"]
    assert isinstance(shown, Proved)
    assert shown.witness is not None
    assert shown.witness.moments[-1].on == ("SIREN",)


def test_an_output_that_never_comes_on_is_refuted() -> None:
    rules = [{"name": "R", "output": "MAST", "when": "SPD below 1 AND SPD at least scene"}]
    results = judged("output_reachable", rules)
    assert isinstance(results["L.MAST"], Refuted)
    assert results["L.MAST"].counterexample.sentence == (
        "No state that can be reached turns mast up on."
    )


@pytest.mark.parametrize("limit", [18, -1])
def test_a_latch_with_a_reset_that_can_come_true_is_releasable(monkeypatch, limit: int) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", limit)
    results = judged("latch_releasable", small_data()["rules"])
    assert list(results) == ["L.R3"]
    assert isinstance(results["L.R3"], Proved)


RESETS = ["SPD below 1 AND SPD at least scene", "TONE AND NOT TONE"]


@pytest.mark.parametrize("reset", RESETS)
def test_a_latch_without_a_way_back_is_refuted(reset: str) -> None:
    rules = [{"name": "R", "output": "MAST", "when": "UP", "reset": reset}]
    result = judged("latch_releasable", rules)["L.R"]
    assert isinstance(result, Refuted)
    assert "nothing that follows can turn it off" in result.counterexample.sentence


def test_a_latch_whose_release_hangs_on_another_latch_is_looked_at_further() -> None:
    """MAST is released by SIREN, which latches for good: releasable, though not at once."""
    rules = [
        {"name": "R", "output": "MAST", "when": "UP", "reset": "SIREN"},
        {"name": "S", "output": "SIREN", "when": "TONE AND ALARM", "reset": "GEAR is R"},
        {"name": "A", "output": "ALARM", "when": "TONE", "off_delay_s": 5},
    ]
    assert isinstance(judged("latch_releasable", rules)["L.R"], Proved)


def test_large_latches_get_an_answer_or_a_reason(monkeypatch) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", -1)
    rules = [{"name": "R", "output": "MAST", "when": "UP", "reset": RESETS[0]}]
    result = judged("latch_releasable", rules)["L.R"]
    assert isinstance(result, TooLarge)
    assert "No single setting was found" in result.reason
