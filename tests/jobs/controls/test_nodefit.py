"""Outputs on channels and signals on pins: limits, doubles, spares, and the exported table."""

from typing import Any

from jobs.controls.codec import sha256
from jobs.controls.nodefit import node_fit
from jobs.findings import Severity
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_data, small_logic

NODE = {
    "name": "N1",
    "label": "front node",
    "channels": [{"name": "1", "limit_ma": 10000}, {"name": "2", "limit_ma": 10000}],
    "inputs": ["I1", "I2"],
    "limit_ma": 15000,
}


def fitted(load_ma: int = 5000, peak_ma: int = 0, place: str = "N1.1", **more: Any) -> list[str]:
    output = {"name": "MAST", "label": "mast up", "load_ma": load_ma, "peak_ma": peak_ma, **more}
    wires = [
        {"name": "MAST", "place": place},
        {"name": "PB", "place": "N1.I1"},
        {"name": "STOWED", "place": "N1.I2"},
    ]
    rules = small_data()["rules"][:1]
    logic = small_logic(outputs=[output], rules=rules, interlocks=[], nodes=[NODE], wires=wires)
    return [finding.message for finding in node_fit(logic).findings]


def test_a_load_within_its_channel_fits() -> None:
    assert fitted() == []


def test_a_continuous_load_may_use_four_fifths_of_its_channel() -> None:
    assert fitted(load_ma=8000) == []
    assert fitted(load_ma=8001) == ["Mast up on N1.1: 8.001 A, at most 8 A."]


def test_a_peak_above_the_limit_is_found() -> None:
    assert fitted(peak_ma=10000) == []
    assert fitted(peak_ma=10001) == ["Peak of mast up on N1.1: 10.001 A, at most 10 A."]


def test_the_wrong_kind_of_channel_is_named() -> None:
    assert fitted(needs="relay") == ["Mast up needs a channel of kind relay; N1.1 is switched."]


def test_a_place_that_does_not_exist_is_named() -> None:
    assert fitted(place="N1.7") == ["N1.7 does not exist on any node."]


def test_the_whole_node_has_a_limit_too() -> None:
    outputs = [
        {"name": "A", "label": "load a", "load_ma": 8000},
        {"name": "B", "label": "load b", "load_ma": 8000},
    ]
    wires = [{"name": "A", "place": "N1.1"}, {"name": "B", "place": "N1.2"}]
    logic = small_logic(
        signals=small_data()["signals"][:1],
        terms=[],
        outputs=outputs,
        rules=[],
        interlocks=[],
        nodes=[NODE],
        wires=wires,
    )
    messages = [finding.message for finding in node_fit(logic).findings]
    assert messages == ["Front node as a whole: 16 A, at most 15 A."]


def test_what_has_no_place_and_what_shares_one_is_found() -> None:
    wires = [{"name": "MAST", "place": "N1.1"}, {"name": "ALARM", "place": "N1.1"}]
    findings = node_fit(small_logic(nodes=[NODE], wires=wires)).findings
    assert {(each.message, each.severity) for each in findings} == {
        ("Siren has no channel.", Severity.FAIL),
        ("Park brake has no input pin.", Severity.UNDETERMINED),
        ("Stowed contact has no input pin.", Severity.UNDETERMINED),
        ("N1.1 is used 2 times.", Severity.FAIL),
    }


def test_the_demo_fits_with_four_channels_to_spare() -> None:
    fit = node_fit(demo_logic("1.3"))
    assert fit.findings == ()
    assert [(each.node, each.channels) for each in fit.spare] == [("N1", 2), ("N2", 1), ("N3", 1)]


def test_the_table_has_one_line_a_wire_and_names_the_hash() -> None:
    logic = demo_logic("1.3")
    fit = node_fit(logic)
    assert (fit.version, fit.sha256) == ("1.3", sha256(logic))
    by_name = {row.name: row for row in fit.rows}
    assert set(by_name) == {wire.name for wire in logic.wires}
    assert by_name["PB"].reads_when_cut == "unknown"
    assert by_name["STA"].reads_when_cut == "open (mast raised)"
    assert (by_name["SCENE_L"].kind, by_name["SCENE_L"].limit_ma) == ("switched", 25_000)
