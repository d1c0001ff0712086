from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.build_sheet.pictures.zones import Placed, Scale, on_both_sides, zone_plan
from tests.drawings import clashes, outside

ZONES = [
    "front",
    "engine",
    "cab",
    "left",
    "right",
    "sides",
    "around",
    "body",
    "roof",
    "rear",
    "under",
]


def at(ref="L01", zone="body", x=1000.0, y=0.0):
    return Placed(ref=ref, zone=zone, x_mm=x, y_mm=y)


def test_scale_puts_the_front_left_and_the_right_side_on_top():
    scale = Scale(front_mm=-1000, rear_mm=5000)
    assert scale.x(0) < scale.x(4000)
    assert scale.y(500) < scale.y(0) < scale.y(-500)


def test_on_both_sides_draws_a_pair_on_each_side():
    assert [place.y_mm for place in on_both_sides(at(zone="sides"))] == [1000, -1000]
    assert [place.y_mm for place in on_both_sides(at(zone="left"))] == [-1000]
    assert on_both_sides(at(zone="sides", y=-900.0)) == [at(zone="sides", y=-900.0)]


def test_zone_plan_puts_a_lone_label_at_its_place_without_a_lead():
    drawn = zone_plan([at()], wheelbase_mm=3759)
    assert [line for line in drawn.under if line.look == "lead"] == []


def test_zone_plan_ties_labels_that_moved_to_their_place():
    drawn = zone_plan([at("L01"), at("L02")], wheelbase_mm=3759)
    (lead,) = [line for line in drawn.under if line.look == "lead"]
    first = next(text for text in drawn.texts if text.words == "L01")
    assert lead.points[0][0] == first.x


def test_zone_plan_frames_differ_by_zone_not_only_by_colour():
    drawn = zone_plan(
        [at(zone=zone) for zone in ("roof", "body", "front", "under")], wheelbase_mm=1
    )
    assert {box.look for box in drawn.boxes if box.look.startswith("label")} == {
        "label level-roof", "label level-in", "label level-out", "label level-under",
    }  # fmt: skip


def test_zone_plan_draws_wheels_only_when_the_wheelbase_is_known():
    assert not any(box.look == "wheel" for box in zone_plan([at()], wheelbase_mm=None).boxes)
    assert sum(box.look == "wheel" for box in zone_plan([at()], wheelbase_mm=3759).boxes) == 4


def labels(drawn):
    return [box for box in drawn.boxes if box.look.startswith("label")]


@pytest.mark.parametrize("count", [65, 200])
def test_zone_plan_finds_room_for_everything_at_one_place(count):
    drawn = zone_plan([at(f"L{number:03}") for number in range(count)], wheelbase_mm=3759)
    assert len(labels(drawn)) == count + 4
    assert outside(drawn) == []
    assert not any(a.overlaps(b) for a, b in combinations(labels(drawn), 2))


@settings(max_examples=30)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(ZONES), st.floats(-2000, 9000), st.floats(-1200, 1200),
            st.text("AL019-", min_size=1, max_size=10),
        ),
        min_size=1,
        max_size=40,
    )
)  # fmt: skip
def test_zone_plan_never_writes_over_itself(rows):
    drawn = zone_plan(
        [Placed(ref=ref, zone=zone, x_mm=x, y_mm=y) for zone, x, y, ref in rows], wheelbase_mm=3759
    )
    assert clashes(drawn) == []
    assert outside(drawn) == []
