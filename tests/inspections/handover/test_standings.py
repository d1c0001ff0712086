import pytest
from django.utils import timezone

from inspections.checklists.models import Check, Result
from inspections.defects.models import Defect
from inspections.handover.models import Acceptance, Packet, Receipt
from inspections.handover.standings import standings
from inspections.release.models import Release
from jobs.intake.spine import Now
from jobs.models import Document, Job, Stage
from tests.factories import make_job, make_unit


@pytest.fixture
def unit(db):
    unit = make_unit(job=make_job(number="J-1", state="building"), number="SR-4")
    stage = Stage.objects.create(unit=unit, code="S13", name="Checks", position=13)
    for number in (1, 2):
        Check.objects.create(
            unit=unit, stage=stage, ref=f"Q{number}", key=f"k{number}", title="Look", kind="visual"
        )
    return unit


def told(unit, key):
    return standings([unit.job])[key][unit.job_id]


def set_checks(*states):
    for check, state in zip(Check.objects.order_by("pk"), states, strict=True):
        Check.objects.filter(pk=check.pk).update(state=state)


def fail(unit, state="open", **fields):
    check = Check.objects.first()
    moment = timezone.now()
    result = Result.objects.create(
        check_item=check, check_version=1, kind="result", verdict="fail", unit=unit,
        person=fields.pop("person"), at_device=moment, received_at=moment,
        sequence=Result.objects.count() + 1, payload_sha256="0" * 64, digest="0" * 64,
    )  # fmt: skip
    return Defect.objects.create(
        unit=unit, number=Defect.objects.count() + 1, check_item=check, result=result,
        state=state, found="Loose", **fields,
    )  # fmt: skip


def test_a_job_without_checks_comes_to_them_later(db):
    unit = make_unit()
    for key in ("checks", "rework", "released", "delivered"):
        assert told(unit, key).now == Now.LATER


@pytest.mark.parametrize(
    ("states", "now", "detail"),
    [
        (("open", "open"), Now.OPEN, "0 of 2 passed"),
        (("pass", "fail"), Now.OPEN, "1 of 2 passed"),
        (("pass", "na"), Now.DONE, "2 of 2 passed"),
    ],
)
def test_checks_are_counted(unit, states, now, detail):
    set_checks(*states)
    found = told(unit, "checks")
    assert (found.now, found.detail) == (now, detail)


def test_two_answers_to_one_check_block(unit):
    set_checks("pass", "decision")
    assert "need a decision" in told(unit, "checks").blockers[0]


def test_retired_checks_do_not_count(unit):
    set_checks("pass", "open")
    Check.objects.filter(ref="Q2").update(retired=True)
    assert told(unit, "checks").now == Now.DONE


def test_no_defect_needs_no_rework(unit):
    assert told(unit, "rework").now == Now.NOT_NEEDED


def test_a_defect_is_reworked_then_checked_again_by_somebody_else(unit, technician, inspector):
    defect = fail(unit, person=inspector)
    found = told(unit, "rework")
    assert found.action.words == "Rework NCR-01 on SR-4"
    assert found.blockers == ("NCR-01 on SR-4 is open.",)
    Defect.objects.filter(pk=defect.pk).update(
        state="reworked", reworked_by=technician, reworked_at=timezone.now()
    )
    found = told(unit, "rework")
    assert (found.now, found.action.words) == (Now.WAITING, "Re-check NCR-01 on SR-4")
    Defect.objects.filter(pk=defect.pk).update(
        state="closed", closed_by=inspector, closed_at=timezone.now()
    )
    assert (told(unit, "rework").now, told(unit, "rework").detail) == (Now.DONE, "1 of 1 closed")


def test_release_comes_when_every_check_passed_and_no_defect_is_left(unit, inspector):
    set_checks("pass", "open")
    assert told(unit, "released").now == Now.LATER
    set_checks("pass", "pass")
    assert told(unit, "released").action.words == "Release unit SR-4"
    fail(unit, person=inspector)
    assert told(unit, "released").now == Now.LATER


def release(unit, by):
    Release.objects.create(
        unit=unit, released_by=by, released_at=timezone.now(), chain_sequence=1,
        chain_head="0" * 64, statement="Fit",
    )  # fmt: skip


def test_a_released_unit_is_handed_over_then_waits_for_acceptance(unit, inspector):
    release(unit, inspector)
    assert told(unit, "released").now == Now.DONE
    assert told(unit, "delivered").action.words == "Hand over unit SR-4"
    Receipt.objects.create(
        unit=unit, received_by="Tobin Rask", received_at=timezone.now(), odometer_mi=12, keys=2,
        handed_over_by="Mona Ash",
    )  # fmt: skip
    found = told(unit, "delivered")
    assert (found.now, found.waiting_for) == (Now.WAITING, "the agency")
    document = Document.objects.create(
        kind="packet", title="Packet", file_name="p.pdf", fingerprint="0" * 64, context=[]
    )
    packet = Packet.objects.create(unit=unit, revision=1, data_sha256="0" * 64, document=document)
    accepted = {"packet": packet, "name": "Edda Quill", "at": timezone.now()}
    Acceptance.objects.create(unit=unit, answer="rejected", packet_sha256="0" * 64, **accepted)
    assert told(unit, "delivered").now == Now.WAITING
    Acceptance.objects.create(unit=unit, answer="accepted", packet_sha256="0" * 64, **accepted)
    assert told(unit, "delivered").now == Now.DONE


def test_one_of_two_units_released_is_not_the_whole_job(unit, inspector):
    make_unit(job=unit.job, number="SR-5")
    release(unit, inspector)
    found = told(unit, "released")
    assert (found.now, found.detail) == (Now.LATER, "1 of 2 released")


def test_many_jobs_cost_six_queries(unit, django_assert_num_queries):
    for _ in range(4):
        make_unit()
    jobs = list(Job.objects.all())
    with django_assert_num_queries(6):
        standings(jobs)
