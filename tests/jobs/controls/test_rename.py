from jobs.controls.codec import from_json, to_json
from jobs.controls.rename import renamed
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data, small_logic


def test_renamed_reaches_every_place_that_names_a_signal():
    data = to_json(renamed(demo_logic("1.3"), "GEAR", "SELECTOR"))
    assert from_json(data).rules
    assert "GEAR" not in str(data)


def test_renamed_leaves_a_position_that_is_spelled_alike():
    signals = small_data()["signals"]
    signals.append({"name": "P", "label": "panel"})
    logic = renamed(small_logic(signals=signals), "P", "PANEL")
    assert to_json(logic)["terms"][0]["when"] == "GEAR is P AND PB AND SPD below 1"


def test_renamed_there_and_back_changes_nothing():
    logic = demo_logic("1.3")
    assert renamed(renamed(logic, "MAST_UP", "X"), "X", "MAST_UP") == logic
