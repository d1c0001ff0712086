"""The weight rules at, just under and just over each limit; the demo's figures; missing data."""

from dataclasses import replace

import pytest

from jobs.findings import Severity
from jobs.sources import SOURCE_BY_ID
from jobs.weight.check import check, predicted_empty, predicted_in_service
from jobs.weight.loads import POUND_KG, Item, Vehicle, WeightDesign
from tests.jobs.weight.demo import demo_weights


def find(design, rule, subject):
    [found] = [item for item in check(design) if (item.rule, item.subject) == (rule, subject)]
    return found


def van(**changes) -> WeightDesign:
    """A bare van in pounds: 4,000 lb on each axle, everything rated with room to spare."""
    ratings = {
        "gvwr_kg": 11_000,
        "gawr_front_kg": 5_000,
        "gawr_rear_kg": 7_000,
        "received_front_kg": 4_000,
        "received_rear_kg": 4_000,
        "roof_limit_kg": 300,
    }
    extra = {name: value for name, value in changes.items() if name not in ratings}
    pounds = {name: changes.get(name, value) for name, value in ratings.items()}
    kilograms = {
        name: None if value is None else value * POUND_KG for name, value in pounds.items()
    }
    return WeightDesign(vehicle=Vehicle(wheelbase_m=4.0, track_m=1.7, **kilograms, **extra))


def test_demo_empty_axles_reproduce():
    loads = predicted_empty(demo_weights())
    assert loads.front_kg / POUND_KG == pytest.approx(3893.34, abs=0.005)
    assert loads.rear_kg / POUND_KG == pytest.approx(3690.26, abs=0.005)


def test_demo_axles_in_service_reproduce():
    loads = predicted_in_service(demo_weights())
    assert loads.front_kg / POUND_KG == pytest.approx(4502.12, abs=0.006)
    assert loads.rear_kg / POUND_KG == pytest.approx(4781.48, abs=0.005)


def test_demo_front_axle_warns_at_97_percent():
    found = find(demo_weights(), "axle_load", "front axle")
    assert found.severity is Severity.WARNING
    assert "97 %" in found.message
    assert found.steps[-2].value == pytest.approx(4502.12, abs=0.006)


def test_demo_rear_axle_total_and_roof_pass():
    assert find(demo_weights(), "axle_load", "rear axle").severity is Severity.PASS
    assert find(demo_weights(), "total_load", "total").severity is Severity.PASS
    roof = find(demo_weights(), "roof_load", "roof")
    assert roof.severity is Severity.PASS
    assert roof.measured == pytest.approx(220.6, abs=0.005)
    assert roof.limit == pytest.approx(330)


def test_demo_scale_is_within_tolerance_and_the_loaded_front_warns_again():
    scale = find(demo_weights(), "predicted_against_scale", "scale")
    assert scale.severity is Severity.PASS
    assert scale.measured == pytest.approx(1.4, abs=0.01)
    front = find(demo_weights(), "axle_load_from_scale", "front axle")
    assert front.severity is Severity.WARNING
    assert "4,557 lb" in front.message
    assert "98.4 %" in front.message


def test_moving_both_batteries_aft_40_inches_takes_37_pounds_off_the_front():
    before = demo_weights()
    moved = replace(
        before,
        items=tuple(
            replace(item, x_m=item.x_m + 40 * 0.0254) if item.ref == "L32" else item
            for item in before.items
        ),
    )
    change = predicted_empty(before).front_kg - predicted_empty(moved).front_kg
    assert change / POUND_KG == pytest.approx(136 * 40 / 148, abs=0.01)


@pytest.mark.parametrize(
    ("front_lb", "severity"),
    [
        (4749.9, Severity.PASS),
        (4750.0, Severity.WARNING),
        (5000.0, Severity.WARNING),
        (5000.1, Severity.FAIL),
    ],
)
def test_axle_load_at_its_limits(front_lb, severity):
    assert find(van(received_front_kg=front_lb), "axle_load", "front axle").severity is severity


@pytest.mark.parametrize(
    ("gvwr_lb", "severity"),
    [
        (8422, Severity.PASS),
        (8421, Severity.WARNING),
        (8000, Severity.WARNING),
        (7999, Severity.FAIL),
    ],
)
def test_total_load_at_its_limits(gvwr_lb, severity):
    assert find(van(gvwr_kg=gvwr_lb), "total_load", "total").severity is severity


def test_one_axle_can_be_over_although_the_total_is_under():
    design = van(gawr_front_kg=3_900)
    assert find(design, "axle_load", "front axle").severity is Severity.FAIL
    assert find(design, "total_load", "total").severity is Severity.PASS


@pytest.mark.parametrize(
    ("pounds", "severity"),
    [
        (284.9, Severity.PASS),
        (285.0, Severity.WARNING),
        (300.0, Severity.WARNING),
        (300.1, Severity.FAIL),
    ],
)
def test_roof_load_at_its_limits(pounds, severity):
    box = Item(ref="box", mass_kg=pounds * POUND_KG, x_m=1.0, y_m=0.0, on_roof=True)
    assert find(replace(van(), items=(box,)), "roof_load", "roof").severity is severity


@pytest.mark.parametrize(
    ("pounds", "severity"),
    [(99.9, Severity.PASS), (100.0, Severity.PASS), (100.1, Severity.WARNING)],
)
def test_added_weight_at_the_label_threshold(pounds, severity):
    box = Item(ref="box", mass_kg=pounds * POUND_KG, x_m=1.0, y_m=0.0)
    assert find(replace(van(), items=(box,)), "added_weight", "labels").severity is severity


def test_added_weight_does_not_concern_a_used_vehicle():
    box = Item(ref="box", mass_kg=200.0, x_m=1.0, y_m=0.0)
    design = replace(van(before_first_sale=False), items=(box,))
    assert not [item for item in check(design) if item.rule == "added_weight"]


@pytest.mark.parametrize(
    ("gvwr_lb", "severity"), [(8900, Severity.PASS), (8899, Severity.FAIL), (8901, Severity.PASS)]
)
def test_gvwr_floor_at_its_limit(gvwr_lb, severity):
    gear = Item(ref="gear", mass_kg=300 * POUND_KG, x_m=1.0, cargo=True)
    design = replace(van(gvwr_kg=gvwr_lb, seats=4), payload=(gear,))
    assert find(design, "gvwr_floor", "labels").severity is severity


@pytest.mark.parametrize(
    ("rear_lb", "severity"), [(6000, Severity.PASS), (5999, Severity.FAIL), (6001, Severity.PASS)]
)
def test_axle_ratings_cover_the_gvwr(rear_lb, severity):
    design = van(gawr_rear_kg=rear_lb)
    assert find(design, "gawr_covers_gvwr", "total").severity is severity


@pytest.mark.parametrize(
    ("scale_lb", "severity"),
    [(8240, Severity.PASS), (8241, Severity.FAIL), (7760, Severity.PASS), (7759, Severity.FAIL)],
)
def test_scale_against_prediction_at_three_percent(scale_lb, severity):
    half = scale_lb * POUND_KG / 2
    design = van(scale_front_kg=half, scale_rear_kg=half)
    assert find(design, "predicted_against_scale", "scale").severity is severity


@pytest.mark.parametrize(("kg_m", "severity"), [(100.0, Severity.PASS), (300.0, Severity.WARNING)])
def test_side_balance(kg_m, severity):
    boxes = (Item(ref="box", mass_kg=kg_m, x_m=1.0, y_m=1.0),)
    assert find(replace(van(), items=boxes), "side_balance", "sides").severity is severity


@pytest.mark.parametrize("name", ["mass_kg", "x_m"])
def test_a_missing_value_is_never_a_pass(name):
    box = replace(Item(ref="box", mass_kg=10.0, x_m=1.0, y_m=0.0), **{name: None})
    design = replace(van(), items=(box,))
    for rule, subject in (("axle_load", "front axle"), ("total_load", "total")):
        assert find(design, rule, subject).severity is Severity.UNDETERMINED
    assert "box" in find(design, "weight_data", "total").message
    assert predicted_empty(design) is None


@pytest.mark.parametrize(
    "name", ["wheelbase_m", "gvwr_kg", "gawr_front_kg", "received_rear_kg", "roof_limit_kg"]
)
def test_a_missing_rating_is_undetermined(name):
    design = demo_weights()
    gap = replace(design, vehicle=replace(design.vehicle, **{name: None}))
    assert Severity.UNDETERMINED in {item.severity for item in check(gap)}


def test_an_overload_fails_even_while_other_data_are_missing():
    box = Item(ref="box", mass_kg=None, x_m=1.0)
    design = replace(van(received_front_kg=5_100), items=(box,))
    assert find(design, "axle_load", "front axle").severity is Severity.FAIL


@pytest.mark.parametrize("value", [0.0, -1.0, float("nan"), float("inf")])
@pytest.mark.parametrize("name", ["wheelbase_m", "received_front_kg", "track_m"])
def test_absurd_vehicle_data_give_findings_without_nan(name, value):
    design = demo_weights()
    bad = replace(design, vehicle=replace(design.vehicle, **{name: value}))
    for item in check(bad):
        assert item.measured is None or item.measured == item.measured


def test_an_axle_that_lifts_is_a_fail():
    box = Item(ref="box", mass_kg=6000.0, x_m=8.0, y_m=0.0)
    found = find(replace(van(), items=(box,)), "axle_lifts", "front axle")
    assert found.severity is Severity.FAIL


def test_every_finding_cites_a_known_source():
    assert all(item.source in SOURCE_BY_ID for item in check(demo_weights()))
