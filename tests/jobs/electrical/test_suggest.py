"""Suggestions: each passes, none smaller would, and each says what else changes."""

from dataclasses import replace

import pytest

from jobs.electrical.check import check
from jobs.electrical.conductor import copper_kg
from jobs.electrical.suggest import SuggestionKind, suggest
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.findings import Severity
from tests.jobs.electrical.demo import demo_design, with_circuit
from tests.jobs.electrical.small import FOOT_M, add_circuit, small

THIN = with_circuit(demo_design(), "A-02", awg="14")


def by_kind(design, ref):
    return {item.kind: item for item in suggest(design, ref)}


def problems(design, ref):
    bad = (Severity.FAIL, Severity.UNDETERMINED)
    return [item for item in check(design) if item.subject == ref and item.severity in bad]


def test_first_revision_of_a_02_is_told_to_use_12_awg():
    found = by_kind(THIN, "A-02")[SuggestionKind.GAUGE]
    assert found.sentence == "Use 12 AWG."
    assert found.design == demo_design()
    assert found.copper_kg > 0
    assert {change.before.rule for change in found.changes} == {"voltage_drop"}


@pytest.mark.parametrize(
    "design",
    [
        THIN,
        with_circuit(demo_design(), "A-03", device_a=5.0),
        with_circuit(demo_design(), "A-03", device_a=25.0),
        with_circuit(demo_design(), "B-09", awg="18"),
        with_circuit(demo_design(), "C-01", length_m=20.0),
    ],
)
def test_every_suggestion_makes_its_circuit_pass(design):
    [ref] = {
        item.subject
        for item in check(design)
        if item.severity is Severity.FAIL and "-" in item.subject
    }
    found = suggest(design, ref)
    assert found
    for item in found:
        assert problems(item.design, ref) == [], item.sentence


def test_no_thinner_gauge_than_the_suggested_would_pass():
    found = by_kind(THIN, "A-02")[SuggestionKind.GAUGE]
    awg = next(item.awg for item in found.design.circuits if item.ref == "A-02")
    thinner = THIN_TO_THICK[THIN_TO_THICK.index(awg) - 1]
    assert problems(with_circuit(THIN, "A-02", awg=thinner), "A-02")


def test_a_tenth_of_a_foot_more_than_the_suggested_run_would_fail():
    found = by_kind(THIN, "A-02")[SuggestionKind.SHORTER]
    length = next(item.length_m for item in found.design.circuits if item.ref == "A-02")
    longer = with_circuit(THIN, "A-02", length_m=length + 0.1 * FOOT_M)
    assert problems(longer, "A-02")
    assert found.copper_kg < 0


def test_a_device_too_small_gets_the_next_rating():
    found = by_kind(with_circuit(demo_design(), "A-03", device_a=5.0), "A-03")
    assert found[SuggestionKind.DEVICE].sentence == "Use a 7.5 A device."


def test_wire_and_device_together_where_neither_helps_alone():
    """20 A on 18 AWG behind a 15 A device: a larger device alone would not protect the wire."""
    design = small(
        circuit={"awg": "18", "device_a": 15.0}, load={"average_a": 20.0, "peak_a": 20.0}
    )
    found = by_kind(design, "A-01")
    assert SuggestionKind.GAUGE not in found
    assert SuggestionKind.DEVICE not in found
    both = found[SuggestionKind.GAUGE_AND_DEVICE]
    assert both.sentence == "Use 10 AWG with a 25 A device."
    assert problems(both.design, "A-01") == []


def test_a_split_deals_the_pieces_to_both_circuits():
    design = small(
        load={"quantity": 4, "average_a": 4.0, "peak_a": 4.0}, circuit={"device_a": 15.0}
    )
    split = by_kind(design, "A-01")[SuggestionKind.SPLIT]
    first, second = split.design.circuits
    assert (first.ref, second.ref) == ("A-01", "A-01B")
    assert [sum(load.quantity for load in item.loads) for item in (first, second)] == [2, 2]
    assert {duty.circuit for duty in split.design.modes[0].duty} == {"A-01", "A-01B"}


def test_one_piece_cannot_be_split():
    design = small(load={"average_a": 16.0, "peak_a": 16.0}, circuit={"device_a": 15.0})
    assert SuggestionKind.SPLIT not in by_kind(design, "A-01")


def test_a_passing_circuit_needs_no_suggestion():
    assert suggest(demo_design(), "A-01") == []


def test_a_circuit_that_lacks_data_gets_none():
    assert suggest(with_circuit(THIN, "A-02", device_a=None), "A-02") == []


def test_a_faulty_design_gets_none():
    assert suggest(replace(THIN, rule_set="moon"), "A-02") == []


def test_an_unknown_circuit_is_a_key_error():
    with pytest.raises(KeyError):
        suggest(THIN, "Z-99")


def test_where_neither_feed_nor_branch_alone_passes_both_get_thicker_with_least_copper():
    """30 ft of 8 AWG and 20 ft of 16 AWG to a 3 % load; every pair of sizes is tried by hand."""
    design = small(
        feed={"awg": "8", "length_m": 30 * FOOT_M, "device_a": 50.0},
        circuit={"awg": "16", "length_m": 20 * FOOT_M, "device_a": 10.0},
        load={"average_a": 6.0, "peak_a": 8.0, "drop_class": "sensitive"},
    )
    design = add_circuit(design, "A-02", awg="10", device_a=30.0)
    heavy = replace(design.circuits[1].loads[0], average_a=15.0, peak_a=20.0, drop_class="general")
    design = with_circuit(design, "A-02", loads=(heavy,))
    found = by_kind(design, "A-01")
    assert {SuggestionKind.GAUGE, SuggestionKind.FEED_GAUGE}.isdisjoint(found)
    both = found[SuggestionKind.FEED_AND_GAUGE]
    assert problems(both.design, "A-01") == []
    feed, circuit = both.design.feeds[0], both.design.circuits[0]
    assert both.sentence == f"Use {feed.awg} AWG for feed A and {circuit.awg} AWG for A-01."
    copper = [
        _copper_added(design, feed_awg, awg)
        for feed_awg in THIN_TO_THICK
        for awg in THIN_TO_THICK
        if _copper_added(design, feed_awg, awg) > 0
        and problems(_with_sizes(design, feed_awg, awg), "A-01") == []
        and problems(_with_sizes(design, feed_awg, awg), "feed A") == []
    ]
    assert both.copper_kg == pytest.approx(min(copper))


def _with_sizes(design, feed_awg, awg):
    feeds = (replace(design.feeds[0], awg=feed_awg),)
    return replace(with_circuit(design, "A-01", awg=awg), feeds=feeds)


def _copper_added(design, feed_awg, awg):
    old, new = design, _with_sizes(design, feed_awg, awg)
    return sum(
        2 * sign * copper_kg(awg=item.awg, length_m=item.length_m)
        for sign, each in ((1, new), (-1, old))
        for item in (each.feeds[0], each.circuits[0])
    )
