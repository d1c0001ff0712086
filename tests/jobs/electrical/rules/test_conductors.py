"""Ampacity and device rules at, just under and just over their limits; their missing data."""

import pytest

from jobs.findings import Severity
from tests.jobs.electrical.small import answer, small, verdict

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


@pytest.mark.parametrize(("amps", "severity"), [(19.99, PASS), (20.0, PASS), (20.01, FAIL)])
def test_ampacity_of_14_awg(amps, severity):
    """Common practice: 20 A."""
    design = small(load={"average_a": amps, "peak_a": amps})
    assert verdict(design, "conductor_ampacity") is severity


@pytest.mark.parametrize(("amps", "severity"), [(16.99, PASS), (17.0, PASS), (17.01, FAIL)])
def test_ampacity_in_the_engine_space(amps, severity):
    design = small(circuit={"engine_space": True}, load={"average_a": amps, "peak_a": amps})
    found = answer(design, "conductor_ampacity")
    assert found.severity is severity
    assert found.limit == pytest.approx(17.0)


@pytest.mark.parametrize(
    ("count", "amps"),
    [(1, 20), (3, 20), (4, 16), (6, 16), (7, 14), (24, 14), (25, 12), (200, 12)],
)
def test_ampacity_in_a_bundle(count, amps):
    found = answer(small(circuit={"bundle_count": count}), "conductor_ampacity")
    assert found.limit == pytest.approx(amps)


@pytest.mark.parametrize(
    ("rule_set", "insulation", "count", "volts", "amps"),
    [
        ("33cfr183", 105, 5, 12.0, 35.0),
        ("33cfr183", 105, 5, 49.9, 35.0),
        ("33cfr183", 105, 5, 50.0, 21.0),
        ("33cfr183", 110, 1, 12.0, 35.0),
        ("33cfr183", 80, 1, 12.0, 25.0),
        ("fire-ems", 105, 5, 12.0, 28.0),
    ],
)
def test_ampacity_by_rule_set(rule_set, insulation, count, volts, amps):
    """33 CFR applies its bundle factors only from 50 V; insulation takes the column it reaches."""
    design = small(
        rule_set=rule_set,
        nominal_v=volts,
        circuit={"insulation_c": insulation, "bundle_count": count},
    )
    assert answer(design, "conductor_ampacity").limit == pytest.approx(amps)


def test_a_flashing_load_is_judged_by_the_current_that_heats():
    found = answer(small(load={"average_a": 10, "peak_a": 20}), "conductor_ampacity")
    assert found.measured == pytest.approx(200**0.5)
    steps = {step.symbol: step.value for step in found.steps}
    assert steps["I_heat"] == pytest.approx(200**0.5)
    assert (steps["I_avg"], steps["I_peak"], steps["I_table"], steps["I_z"]) == (10, 20, 20, 20)


@pytest.mark.parametrize(
    "circuit", [{"awg": None}, {"awg": "11"}, {"awg": "3"}, {"insulation_c": 80}]
)
def test_no_ampacity_is_undetermined(circuit):
    """Unknown size, one the table leaves out, insulation below the table's."""
    design = small(circuit=circuit)
    assert verdict(design, "conductor_ampacity") is UNDETERMINED
    assert verdict(design, "device_protects_conductor") is UNDETERMINED


@pytest.mark.parametrize("load", [{"average_a": None}, {"peak_a": None}])
def test_no_current_is_undetermined_for_the_circuit_and_its_feed(load):
    for subject in ("A-01", "feed A"):
        for rule in ("conductor_ampacity", "device_carries_load"):
            assert verdict(small(load=load), rule, subject) is UNDETERMINED


@pytest.mark.parametrize(("amps", "severity"), [(7.99, PASS), (8.0, PASS), (8.01, FAIL)])
def test_a_10_a_device_carries_8_a_for_hours(amps, severity):
    """NEC 210.20(A), the 80 % rule."""
    design = small(load={"average_a": amps, "peak_a": amps})
    assert verdict(design, "device_carries_load") is severity


@pytest.mark.parametrize(("peak", "severity"), [(9.99, PASS), (10.0, PASS), (10.01, FAIL)])
def test_a_flashing_peak_may_reach_the_device(peak, severity):
    found = answer(small(load={"average_a": 1.0, "peak_a": peak}), "device_carries_load")
    assert found.severity is severity
    if severity is FAIL:
        assert (found.measured, found.limit) == (peak, 10.0)


@pytest.mark.parametrize(
    ("rule_set", "device", "severity"),
    [
        ("common-practice", 15.9, PASS),
        ("common-practice", 16.0, PASS),
        ("common-practice", 16.1, FAIL),
        ("fire-ems", 20.0, PASS),
        ("fire-ems", 20.1, FAIL),
        ("33cfr183", 37.4, PASS),
        ("33cfr183", 37.5, PASS),
        ("33cfr183", 37.6, FAIL),
    ],
)
def test_device_against_conductor(rule_set, device, severity):
    """16 AWG at 105 C is 25 A: 150 % of it by 33 CFR, 80 % by fire and EMS. The two conflict."""
    wire = {"awg": "14"} if rule_set == "common-practice" else {"awg": "16", "insulation_c": 105}
    design = small(rule_set=rule_set, circuit={**wire, "device_a": device})
    assert verdict(design, "device_protects_conductor") is severity


@pytest.mark.parametrize(
    ("awg", "device"),
    [
        *(("18", 30), ("16", 37.5), ("14", 52.5), ("12", 67.5), ("10", 90), ("8", 120)),
        *(("6", 180), ("4", 240), ("2", 315), ("1/0", 427.5), ("2/0", 495), ("4/0", 667.5)),
    ],
)
def test_largest_device_of_183_455(awg, device):
    """33 CFR 183.455(c)(1), 105 C, outside engine spaces."""
    design = small(rule_set="33cfr183", circuit={"awg": awg, "insulation_c": 105})
    found = answer(design, "device_protects_conductor")
    assert found.limit == pytest.approx(device)


@pytest.mark.parametrize(
    ("device", "awg"),
    [(5, "18"), (10, "18"), (15, "18"), (20, "16"), (30, "12"), (50, "8"), (100, "4"), (150, "2")],
)
def test_smallest_wire_by_125_percent(device, awg):
    """Fire and EMS over table 5 at 105 C: the gauge passes and the next thinner one does not."""
    gauges = ("20", "18", "16", "14", "12", "10", "8", "6", "4", "3", "2")
    thinner = gauges[gauges.index(awg) - 1]
    for size, passes in ((awg, True), (thinner, False)):
        design = small(
            rule_set="fire-ems", circuit={"awg": size, "insulation_c": 105, "device_a": device}
        )
        assert (verdict(design, "device_protects_conductor") is PASS) is passes


@pytest.mark.parametrize(
    ("volts", "device", "severity"),
    [(49.9, 37.5, PASS), (50.0, 25.0, PASS), (50.0, 25.1, FAIL), (50.0, 37.5, FAIL)],
)
def test_from_50_volts_the_device_may_not_exceed_the_ampacity(volts, device, severity):
    """33 CFR 183.455(c)(2): 100 % of table 5; 25 A for 16 AWG at 105 C."""
    design = small(
        rule_set="33cfr183",
        nominal_v=volts,
        circuit={"awg": "16", "insulation_c": 105, "device_a": device},
    )
    assert verdict(design, "device_protects_conductor") is severity


def test_no_device_is_undetermined():
    design = small(circuit={"device_a": None})
    assert verdict(design, "device_carries_load") is UNDETERMINED
    assert verdict(design, "device_protects_conductor") is UNDETERMINED
