import pytest

from jobs.build_sheet.drafting.document import DraftError, moved, put, read, where, without
from tests.jobs.controls.small import small_data


def problem(data):
    with pytest.raises(DraftError) as caught:
        read(data)
    return caught.value.problem


def test_put_adds_and_replaces():
    data = put(small_data(), "outputs", None, {"name": "LAMP", "label": "lamp"})
    data = put(data, "outputs", "LAMP", {"name": "LAMP", "label": "red lamp"})
    assert [each["label"] for each in data["outputs"]][-1] == "red lamp"
    assert len(data["outputs"]) == 4


def test_put_refuses_a_name_that_is_taken():
    with pytest.raises(DraftError, match="MAST is in this version already"):
        put(small_data(), "outputs", None, {"name": "MAST", "label": "again"})
    with pytest.raises(DraftError, match="MAST is in this version already"):
        put(small_data(), "outputs", "ALARM", {"name": "MAST", "label": "again"})


def test_put_with_a_new_name_changes_it_everywhere():
    signal = small_data()["signals"][0] | {"name": "SELECTOR"}
    logic = read(put(small_data(), "signals", "GEAR", signal))
    assert logic.signals[0].name == "SELECTOR"
    assert "GEAR" not in str(logic)


def test_put_of_what_is_gone_says_so():
    with pytest.raises(DraftError, match="R9 is no longer") as caught:
        put(small_data(), "rules", "R9", {"name": "R9"})
    assert caught.value.stale


def test_without_what_others_need_names_who_needs_it():
    found = problem(without(small_data(), "signals", "UP"))
    assert (found.part, found.name, found.field) == ("rules", "R1", "when")
    assert "“UP” is no signal" in found.sentence
    assert where(found) == "Rule R1, when: "


def test_moved_stays_within_the_list():
    data = small_data()
    names = [each["name"] for each in moved(data, "rules", "R3", -1)["rules"]]
    assert names == ["R1", "R3", "R2"]
    assert moved(data, "rules", "R3", 1)["rules"] == data["rules"]


def test_read_tells_the_place_in_an_expression():
    rules = small_data()["rules"]
    rules[1]["when"] = "NOT STOWED AND PARKD"
    found = problem(small_data(rules=rules))
    assert found.position == 15
    assert "At place 16" in found.sentence
    assert "Did you mean PARKED" in found.sentence


def test_read_tells_two_rules_on_one_output_without_priority():
    rules = [*small_data()["rules"], {"name": "R4", "output": "MAST", "when": "UP"}]
    found = problem(small_data(rules=rules))
    assert (found.name, found.field) == ("R4", "priority")
    assert "R1 and R4 both drive MAST" in found.sentence


def test_read_tells_a_circle():
    rules = small_data()["rules"]
    rules[0]["when"] = "UP AND ALARM"
    rules[1]["when"] = "MAST"
    assert "form a circle" in problem(small_data(rules=rules)).sentence


def test_put_with_a_new_name_of_a_node_or_head_takes_its_wires_along():
    node = {"name": "N1", "label": "front", "channels": [{"name": "1", "limit_ma": 9}]}
    head = {"name": "BAR", "label": "bar", "zone": "front", "colours": ["red"], "patterns": []}
    wires = [{"name": "BAR", "place": "N1.1"}, {"name": "MAST", "place": "N12.1"}]
    data = small_data(nodes=[node], heads=[head], wires=wires)
    data = put(data, "nodes", "N1", node | {"name": "N2"})
    data = put(data, "heads", "BAR", head | {"name": "LIGHTBAR"})
    assert data["wires"] == [{"name": "LIGHTBAR", "place": "N2.1"}, wires[1]]
