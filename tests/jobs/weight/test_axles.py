"""Moments against published and hand-worked figures; thresholds of 49 CFR."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.weight.axles import (
    AxleLoads,
    axle_shares,
    centre_of_gravity,
    gvwr_floor_kg,
    label_threshold_kg,
    side_difference_percent,
    with_items,
)
from jobs.weight.loads import POUND_KG, Item

masses = st.floats(min_value=0.1, max_value=5000)
places = st.floats(min_value=-3, max_value=8)


def test_centre_of_gravity_by_the_moment_method():
    """NAVEDTRA 14233 method; numbers of a secondary training text."""
    assert centre_of_gravity(moments=[(3500, 40), (5500, 195)]) == pytest.approx(134.72, abs=0.005)


def test_centre_of_gravity_corrects_the_published_slip():
    """The same text prints 157.52; its own numbers give 157.56."""
    assert centre_of_gravity(moments=[(5800, 52), (9500, 222)]) == pytest.approx(157.56, abs=0.005)


@pytest.mark.parametrize(
    ("gvwr_lb", "threshold_lb"),
    [(6000, 90.0), (6666.6667, 100.0), (6800, 100.0), (10_000, 100.0), (6666, 99.99)],
)
def test_label_threshold_is_the_lesser_of_both(gvwr_lb, threshold_lb):
    """49 CFR 571.110 and 72 FR 68442."""
    found = label_threshold_kg(gvwr_kg=gvwr_lb * POUND_KG) / POUND_KG
    assert found == pytest.approx(threshold_lb, abs=0.001)


def test_gvwr_floor_of_a_published_letter():
    """49 CFR 567.4(g)(3): 15,000 lb, 8,600 lb unloaded, two seats leave 6,100 lb of cargo."""
    floor = gvwr_floor_kg(unloaded_kg=8600 * POUND_KG, cargo_kg=6100 * POUND_KG, seats=2)
    assert floor / POUND_KG == pytest.approx(15_000)


def test_an_item_behind_the_rear_axle_lifts_the_front():
    shares = axle_shares(mass_kg=100, x_m=5, wheelbase_m=4)
    assert (shares.front_kg, shares.rear_kg) == (-25, 125)


def test_an_item_ahead_of_the_front_axle_lifts_the_rear():
    shares = axle_shares(mass_kg=100, x_m=-1, wheelbase_m=4)
    assert (shares.front_kg, shares.rear_kg) == (125, -25)


@given(mass=masses, x=places, wheelbase=st.floats(min_value=1, max_value=8))
def test_shares_add_up_to_the_mass(mass, x, wheelbase):
    shares = axle_shares(mass_kg=mass, x_m=x, wheelbase_m=wheelbase)
    assert shares.total_kg == pytest.approx(mass)


@given(items=st.lists(st.tuples(masses, places), min_size=1, max_size=8))
def test_axle_loads_and_centre_of_gravity_agree(items):
    wheelbase = 3.7592
    loads = with_items(
        AxleLoads(front_kg=0, rear_kg=0),
        [Item(ref=str(at), mass_kg=mass, x_m=x) for at, (mass, x) in enumerate(items)],
        wheelbase_m=wheelbase,
    )
    centre = centre_of_gravity(moments=items)
    assert loads.rear_kg == pytest.approx(loads.total_kg * centre / wheelbase, abs=1e-6)


@given(mass=masses, x=places)
def test_pounds_and_inches_give_the_same_shares(mass, x):
    metric = axle_shares(mass_kg=mass, x_m=x, wheelbase_m=3.7592)
    other = axle_shares(mass_kg=mass / POUND_KG, x_m=x / 0.0254, wheelbase_m=3.7592 / 0.0254)
    assert other.front_kg * POUND_KG == pytest.approx(metric.front_kg, rel=1e-9, abs=1e-6)


def test_side_difference_is_zero_on_the_centre_line():
    assert side_difference_percent(moment_kg_m=0, total_kg=3000, track_m=1.7) == 0
