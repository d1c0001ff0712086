from decimal import Decimal

import pytest

from jobs.build_sheet.balances import (
    axle_picture,
    axle_rows,
    energy_picture,
    mode_rows,
    places,
)
from jobs.build_sheet.review import review
from jobs.models import BuildLine, ModeDuty, OperatingMode
from tests.factories import make_job, make_line, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


def mode(job, key, position, *, permille=1000, source="idle", **fields):
    made = OperatingMode.objects.create(
        job=job, key=key, name=key.title(), position=position, source=source, **fields
    )
    if permille:
        ModeDuty.objects.create(mode=made, circuit=job.circuits.get(), permille=permille)
    return made


def test_mode_rows_add_up_and_say_what_is_left():
    job = make_wired_job()
    make_unit(job=job, alternator_hot_idle_ma=120_000)
    mode(job, "respond", 1, chassis_base_ma=55_000, allowance_ma=3_000)
    (row,) = mode_rows(review(job))
    assert row.bar.amps == pytest.approx((55.0, 3.0, 3.6, 0.0))
    assert (row.bar.limit_a, row.bar.wanted_a) == pytest.approx((120.0, 108.0))
    assert row.spare_a == pytest.approx(58.4)
    assert row.bar.state == "pass"


def test_mode_rows_show_a_shed_step_against_the_fuller_mode():
    job = make_wired_job()
    mode(job, "scene", 1)
    mode(job, "parked", 2, source="battery")
    mode(job, "shed", 3, permille=0)
    scene, parked, shed = mode_rows(review(job))
    assert (scene.sheds, parked.sheds) == ((), ())
    assert (shed.sheds, shed.sheds_against) == (("A-01",), "Scene")
    assert shed.freed_a == pytest.approx(3.6)


def test_mode_rows_without_the_hot_output_have_no_limit_and_do_not_pass():
    job = make_wired_job()
    make_unit(job=job)
    mode(job, "respond", 1)
    (row,) = mode_rows(review(job))
    assert (row.bar.limit_a, row.spare_a) == (None, None)
    assert row.bar.state == "undetermined"


def test_energy_picture_of_a_job_without_modes_is_none():
    assert energy_picture(mode_rows(review(make_wired_job()))) is None


def make_weighed_unit(job):
    return make_unit(
        job=job, wheelbase_mm=Decimal("3759.2"), received_front_g=Decimal(1_500_000),
        received_rear_g=Decimal(1_200_000), gawr_front_g=Decimal(2_000_000),
    )  # fmt: skip


def test_axle_rows_split_the_added_weight_by_its_place():
    job = make_wired_job()
    BuildLine.objects.update(x_mm=Decimal("1879.6"))
    front, rear = axle_rows(job, make_weighed_unit(job))
    assert front.added_lb == pytest.approx(rear.added_lb)
    assert front.added_lb + rear.added_lb == pytest.approx(4 * 272.155 / 453.59237)
    assert front.of_rating.endswith("% of 4,409 lb")
    assert rear.rating_lb is None
    assert axle_picture((front, rear)) is not None


def test_axle_rows_wait_for_wheelbase_and_received_weights():
    job = make_wired_job()
    assert axle_rows(job, None) is None
    assert axle_rows(job, make_unit(job=job)) is None
    assert axle_picture(None) is None


def test_places_keep_lines_without_a_place_apart():
    job = make_job()
    make_line(job=job, ref="L01")
    lost = make_line(job=job, ref="L02", x_mm=None, zone="roof")
    plan, by_zone, unplaced = places(job)
    assert "L01" in [text.words for text in plan.texts]
    assert unplaced == [lost]
    assert [zone for zone, _ in by_zone] == ["Front", "Roof"]


def test_places_of_an_empty_job_are_no_plan():
    assert places(make_job()) == (None, [], [])
