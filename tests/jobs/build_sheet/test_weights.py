from decimal import Decimal

import pytest

from jobs.build_sheet.weights import predicted_axles, weight_findings
from tests.factories import make_line, make_part, make_unit

pytestmark = pytest.mark.django_db


def weighed_unit(**fields):
    return make_unit(
        wheelbase_mm=Decimal(3000),
        received_front_g=Decimal(1_000_000),
        received_rear_g=Decimal(800_000),
        **fields,
    )


def test_predicted_axles_split_by_distance():
    """100 kg, 600 mm behind the front axle of 3000 mm: 20 kg rear, 80 kg front (moments)."""
    unit = weighed_unit()
    part = make_part(mass_g=Decimal(100_000))
    make_line(job=unit.job, part=part, x_mm=Decimal(600))
    axles = predicted_axles(unit)
    assert axles["front axle"] == Decimal(1_080_000)
    assert axles["rear axle"] == Decimal(820_000)
    assert axles["total"] == Decimal(1_900_000)


def test_predicted_axles_are_empty_when_a_weight_is_missing():
    unit = weighed_unit()
    make_line(job=unit.job, part=make_part(mass_g=None))
    assert predicted_axles(unit) == {}


def test_weight_findings_fail_an_axle_over_its_rating():
    unit = weighed_unit(
        gawr_front_g=Decimal(1_050_000), gawr_rear_g=Decimal(900_000), gvwr_g=Decimal(1_950_000)
    )
    make_line(job=unit.job, part=make_part(mass_g=Decimal(100_000)), x_mm=Decimal(600))
    (front,) = [
        finding
        for finding in weight_findings(unit.job, unit)
        if finding.subject == "front axle" and finding.rule == "axle_load"
    ]
    assert front.severity == "fail"


def test_weight_findings_need_a_unit():
    assert weight_findings(weighed_unit().job, None) == []
