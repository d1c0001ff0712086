"""What the simulator shows, without any page."""

from dataclasses import replace

import pytest

from jobs.build_sheet.control.address import Asked, Situation, read, resting
from jobs.build_sheet.control.simulation import play
from jobs.controls.codec import from_json
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data, small_logic


def played(logic, **query):
    return play(logic, read(logic, query))


def then(logic, shown, **query):
    """The next press on the page that showed this."""
    asked = read(logic, query)
    return play(logic, replace(asked, before=shown.after))


def output(shown, name):
    return next(each for each in (*shown.outputs, *shown.alarms) if each.name == name)


def signal(shown, name):
    return next(row for _, rows in shown.sources for row in rows if row.name == name)


def test_the_same_situation_shown_again_is_the_same():
    logic = demo_logic("1.3")
    first = played(logic, at="SL:3,IGN:run,GEAR:D", let="2")
    assert play(logic, Asked(before=first.after)).after == first.after


def test_every_signal_offers_each_value_and_unknown_where_it_can_be():
    shown = played(small_logic())
    assert [each.words for each in signal(shown, "GEAR").choices] == ["P", "R", "N", "D", "unknown"]
    assert [each.words for each in signal(shown, "UP").choices] == ["released", "pressed"]
    assert [each.set for each in signal(shown, "SPD").choices] == [
        "SPD:0", "SPD:1", "SPD:10", "SPD:0~",
    ]  # fmt: skip


def test_a_signal_away_from_rest_and_one_that_was_changed_are_told_apart():
    logic = small_logic()
    first = played(logic, set="UP:on")
    assert signal(first, "UP").is_away and signal(first, "UP").has_changed
    second = then(logic, first, set="PB:off")
    assert signal(second, "UP").is_away and not signal(second, "UP").has_changed


def test_unknown_keeps_what_is_true():
    logic = small_logic()
    shown = played(logic, set="STOWED:off~")
    assert signal(shown, "STOWED").now == "stowed contact is unknown (in truth open)"
    assert [each.is_now for each in signal(shown, "STOWED").choices] == [False, False, True]


def test_an_output_without_its_series_is_held_off():
    data = small_data()
    data["outputs"] += [{"name": "RELAY", "label": "enable relay"}]
    data["outputs"][0]["series"] = "RELAY"
    data["rules"] += [{"name": "R9", "output": "RELAY", "when": "SPD at least scene"}]
    logic = from_json(data)
    shown = played(logic, at="UP:on")
    assert (output(shown, "MAST").word, output(shown, "MAST").held) == ("Held off", "enable relay")


def test_a_running_delay_says_what_comes_and_when():
    logic = demo_logic("1.3")
    shown = played(logic, let="57.5")
    assert "Battery back above 12.8 V: rule R30a begins in 2.5 s." in shown.waiting
    assert then(logic, shown, let="3").waiting == ()


def test_internal_outputs_are_not_announced():
    logic = demo_logic("1.3")
    shown = then(logic, played(logic), let="60")
    assert output(shown, "BACK_128").is_on
    assert shown.says == "No output changed."


@pytest.mark.parametrize("version", ["1.2", "1.3"])
def test_the_demo_at_rest_breaks_nothing_and_alarms_nothing(version):
    shown = played(demo_logic(version))
    assert shown.broken == ()
    assert not [each for each in shown.alarms if each.is_on]


def test_a_logic_without_anything_can_be_played():
    logic = from_json({"version": "1"})
    shown = play(logic, Asked(before=Situation(settings=resting(logic))))
    assert (shown.sources, shown.outputs, shown.heads, shown.broken) == ((), (), (), ())
