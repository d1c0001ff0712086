"""Protection at the source, kind of device, fault clearing, selectivity."""

import pytest

from jobs.electrical.design import DeviceKind, SupplyKind
from jobs.findings import Severity
from tests.jobs.electrical.small import (
    FOOT_M,
    INCH_M,
    add_circuit,
    answer,
    answers,
    linked,
    small,
    verdict,
)

PASS, FAIL, UNDETERMINED = Severity.PASS, Severity.FAIL, Severity.UNDETERMINED


@pytest.mark.parametrize(
    ("rule_set", "kind", "sheathed", "inches", "severity"),
    [
        ("33cfr183", "alternator", False, 7.0, PASS),
        ("33cfr183", "alternator", False, 7.1, FAIL),
        ("33cfr183", "alternator", True, 40.0, PASS),
        ("33cfr183", "alternator", True, 40.1, FAIL),
        ("33cfr183", "battery", False, 72.0, PASS),
        ("33cfr183", "battery", False, 72.1, FAIL),
        ("common-practice", "battery", False, 17.9, PASS),
        ("common-practice", "battery", False, 18.0, PASS),
        ("common-practice", "battery", False, 18.1, FAIL),
        ("common-practice", "battery", False, 0.0, PASS),
    ],
)
def test_distance_from_source_to_device(rule_set, kind, sheathed, inches, severity):
    """33 CFR 183.455(b) and 183.460: 7, 40 and 72 inches. Common practice: 18."""
    design = small(
        rule_set=rule_set,
        supply={"kind": SupplyKind(kind)},
        feed={"source_distance_m": inches * INCH_M, "sheathed": sheathed},
    )
    assert verdict(design, "protected_at_source", "feed A") is severity


def test_a_cranking_feed_needs_no_device():
    design = small(feed={"cranking": True, "source_distance_m": 3.0})
    assert answers(design, "protected_at_source") == []


def test_a_link_is_protected_at_both_ends():
    assert verdict(linked(), "protected_at_source", "feed A at MAIN") is PASS
    assert verdict(linked(), "protected_at_source", "feed A at AUX") is PASS


@pytest.mark.parametrize(
    ("feed", "subject", "severity"),
    [
        ({"second_device_a": None}, "feed A at AUX", UNDETERMINED),
        ({"second_distance_m": None}, "feed A at AUX", UNDETERMINED),
        ({"second_distance_m": 19 * INCH_M}, "feed A at AUX", FAIL),
        ({"source_distance_m": 19 * INCH_M}, "feed A at MAIN", FAIL),
    ],
)
def test_a_link_unprotected_at_one_end_does_not_pass(feed, subject, severity):
    assert verdict(linked(**feed), "protected_at_source", subject) is severity


@pytest.mark.parametrize("feed", [{"device_a": None}, {"source_distance_m": None}])
def test_missing_protection_is_undetermined(feed):
    assert verdict(small(feed=feed), "protected_at_source", "feed A") is UNDETERMINED


@pytest.mark.parametrize(
    ("rule_set", "kind", "feed", "branch"),
    [
        ("common-practice", DeviceKind.BREAKER_MANUAL, PASS, PASS),
        ("common-practice", DeviceKind.BREAKER_AUTO, Severity.WARNING, PASS),
        ("common-practice", DeviceKind.BREAKER_MODIFIED, PASS, PASS),
        ("33cfr183", DeviceKind.BREAKER_AUTO, FAIL, FAIL),
        ("33cfr183", DeviceKind.BREAKER_MODIFIED, FAIL, FAIL),
        ("33cfr183", DeviceKind.BREAKER_MANUAL, PASS, PASS),
        ("33cfr183", DeviceKind.FUSE_BLADE, PASS, PASS),
    ],
)
def test_kind_of_device(rule_set, kind, feed, branch):
    """33 CFR 183.455(a): manual-reset trip-free breaker or fuse. SAE J553: type 1 cycles."""
    design = small(rule_set=rule_set, feed={"device_kind": kind}, circuit={"device_kind": kind})
    assert verdict(design, "device_kind", "feed A") is feed
    assert verdict(design, "device_kind", "A-01") is branch


def test_an_unknown_kind_of_device_is_undetermined():
    assert verdict(small(circuit={"device_kind": None}), "device_kind") is UNDETERMINED


def fault_a(design) -> float:
    return answer(design, "fault_clearing").measured


def test_fault_current_goes_through_supply_feed_branch_and_returns():
    found = answer(small(supply={"internal_resistance_ohm": 0.01}), "fault_clearing")
    feed = 2 * 10 * 0.15626 / 1000 * 1.1
    branch = 2 * 10 * 2.52537 / 1000 * 1.1
    assert found.measured == pytest.approx(12 / (0.01 + feed + branch), rel=1e-4)
    printed = dict(part.split(" ")[:2] for part in found.steps[0].formula.split(" + "))
    assert list(printed) == ["source", "feed", "branch"]
    assert sum(map(float, printed.values())) == pytest.approx(found.steps[0].value, rel=1e-4)


@pytest.mark.parametrize(("share", "severity"), [(0.9999, PASS), (1.0, PASS), (1.0001, FAIL)])
def test_fault_current_at_the_limit(share, severity):
    """A blade fuse opens quickly at 3.5 times its rating."""
    device = fault_a(small()) / 3.5
    design = small(circuit={"device_a": device * share})
    assert verdict(design, "fault_clearing") is severity


def test_a_device_too_large_for_a_long_thin_wire_would_not_open():
    design = small(circuit={"awg": "18", "length_m": 60 * FOOT_M, "device_a": 30.0})
    assert verdict(design, "fault_clearing") is FAIL


@pytest.mark.parametrize(
    "changes",
    [
        {"circuit": {"length_m": None}},
        {"circuit": {"awg": "11"}},
        {"circuit": {"device_a": None}},
        {"circuit": {"device_kind": None}},
        {"feed": {"length_m": None}},
        {"supply": {"nominal_v": None}},
    ],
)
def test_fault_clearing_without_data_is_undetermined(changes):
    assert verdict(small(**changes), "fault_clearing") is UNDETERMINED


@pytest.mark.parametrize(("branch_a", "severity"), [(62.4, PASS), (62.5, PASS), (62.6, FAIL)])
def test_feed_over_branch_at_the_margin(branch_a, severity):
    """100 A over the largest branch: at least 1.6."""
    design = add_circuit(small(), "A-02", device_a=branch_a)
    assert verdict(design, "selectivity", "feed A") is severity


def test_selectivity_ignores_the_circuit_that_is_the_feed():
    design = small(circuit={"whole_feed": True, "device_a": 100.0})
    assert answers(design, "selectivity") == []


def test_a_branch_without_device_leaves_selectivity_undetermined_unless_it_fails():
    unknown = add_circuit(small(), "A-02", device_a=None)
    assert verdict(unknown, "selectivity", "feed A") is UNDETERMINED
    failing = add_circuit(unknown, "A-03", device_a=90.0)
    assert verdict(failing, "selectivity", "feed A") is FAIL


def test_a_feed_without_device_is_undetermined():
    assert verdict(small(feed={"device_a": None}), "selectivity", "feed A") is UNDETERMINED
