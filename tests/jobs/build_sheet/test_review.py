from decimal import Decimal

import pytest

from jobs.build_sheet.actions import accept_finding
from jobs.build_sheet.review import predicted_volts, review
from tests.factories import make_wired_job

pytestmark = pytest.mark.django_db


def finding(found, rule, subject):
    return next(
        each.finding
        for each in found.judged
        if each.finding.rule == rule and each.finding.subject == subject
    )


def test_review_adds_the_drop_of_feed_branch_and_return():
    """2 x 10 ft x 7.2 A x 1.588 ohm/1000 ft x 1.10 = 0.2515 V, feed 2 x 16 ft of 6 AWG = 0.1001 V.

    Resistances and the factor 1.10 as in the common-practice rule set; worked by hand.
    """
    (row,) = review(make_wired_job()).circuits
    assert row.drop_v == pytest.approx(0.2515, abs=0.0005)
    assert row.path_drop_v == pytest.approx(0.3517, abs=0.001)
    assert row.path_drop_percent == pytest.approx(100 * row.path_drop_v / 13.2)


def test_review_says_undetermined_when_a_length_is_missing():
    found = review(make_wired_job(length_mm=None))
    assert finding(found, "voltage_drop", "A-01").severity == "undetermined"
    (row,) = found.circuits
    assert row.path_drop_v is None


def test_review_fails_a_device_too_large_for_its_wire():
    found = review(make_wired_job(awg="18", device_ma=30_000))
    assert finding(found, "device_protects_conductor", "A-01").severity == "fail"


def test_review_keeps_an_accepted_finding_visible_but_not_blocking(designer):
    job = make_wired_job(awg="18", device_ma=30_000)
    accept_finding(
        job=job, rule="device_protects_conductor", subject="A-01", reason="Short", by=designer
    )
    found = review(job)
    (judged,) = [
        each for each in found.accepted_problems if each.finding.rule == "device_protects_conductor"
    ]
    assert judged.finding.severity == "fail"
    assert judged not in found.blocking


def test_predicted_volts_start_at_the_test_voltage():
    job = make_wired_job()
    found = review(job)
    drop = Decimal(str(found.circuits[0].path_drop_v))
    assert predicted_volts(job, found)["A-01"] == pytest.approx(Decimal("13.8") - drop)


def test_predicted_volts_leave_out_what_is_not_known():
    job = make_wired_job(awg="")
    assert predicted_volts(job, review(job)) == {}
