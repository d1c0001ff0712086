from datetime import datetime, timedelta

import pytest
from django.utils import timezone

from jobs.models import AuditEvent, Job, WorkEvent
from jobs.stages import actions, holds
from jobs.stages.actions import StageError
from tests.factories import make_furnished_item, make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager)


def stage_of(unit, code):
    return unit.stages.get(code=code)


def finish(unit, person, *codes):
    for code in codes:
        stage = stage_of(unit, code)
        for hold in stage.holds.all():
            hold.released_at, hold.released_by = timezone.now(), person
            hold.save()
        actions.start_work(stage=stage, by=person)
        actions.finish_stage(stage=stage, by=person)


def test_plan_stages_takes_hours_from_the_build_lines(unit):
    assert stage_of(unit, "S6").planned_minutes == 4 * 45
    assert stage_of(unit, "S1").planned_minutes == 0


def test_plan_stages_again_changes_hours_and_doubles_nothing(unit, manager):
    before = unit.stages.count()
    unit.job.lines.update(quantity=2)
    actions.plan_stages(unit=unit, by=manager)
    assert unit.stages.count() == before
    assert stage_of(unit, "S6").planned_minutes == 2 * 45


def test_blockers_name_prerequisites_and_holds(unit):
    words = " ".join(actions.blockers(stage_of(unit, "S1")))
    assert "S0 Check-in is not started" in words
    assert "Hold H0 is not released: Options match the order" in words


def test_blockers_name_agency_equipment_that_has_not_arrived(unit):
    make_furnished_item(job=unit.job, description="Radio 50 W", needed_for_stage="S0")
    words = " ".join(actions.blockers(stage_of(unit, "S0")))
    assert words == "Radio 50 W (agency furnished) has not arrived."


def test_start_work_puts_an_approved_job_in_work(unit, technician):
    actions.start_work(stage=stage_of(unit, "S0"), by=technician)
    assert Job.objects.get(pk=unit.job_id).state == "building"
    assert stage_of(unit, "S0").state == "working"


def test_start_work_twice_runs_one_timer(unit, technician):
    assert actions.start_work(stage=stage_of(unit, "S0"), by=technician)
    assert actions.start_work(stage=stage_of(unit, "S0"), by=technician) is None
    assert WorkEvent.objects.filter(kind="start").count() == 1


def test_start_work_refuses_before_the_quote_is_approved(unit, technician):
    Job.objects.filter(pk=unit.job_id).update(state="quoted")
    with pytest.raises(StageError, match="hours can be booked once its quote is approved"):
        actions.start_work(stage=stage_of(unit, "S0"), by=technician)
    assert not WorkEvent.objects.exists()


def test_start_work_refuses_a_blocked_stage_with_the_reason(unit, technician):
    with pytest.raises(StageError, match="S0 Check-in is not started"):
        actions.start_work(stage=stage_of(unit, "S1"), by=technician)


def test_stop_work_books_the_minutes_of_the_timer(unit, technician):
    start = timezone.now() - timedelta(minutes=95)
    actions.start_work(stage=stage_of(unit, "S0"), by=technician, at=start)
    event = actions.stop_work(
        stage=stage_of(unit, "S0"), by=technician, at=start + timedelta(minutes=95)
    )
    assert event.minutes == 95


def test_stop_work_of_a_forgotten_timer_books_one_shift_at_most(unit, technician):
    start = timezone.make_aware(datetime(2026, 5, 1, 8))
    actions.start_work(stage=stage_of(unit, "S0"), by=technician, at=start)
    event = actions.stop_work(
        stage=stage_of(unit, "S0"), by=technician, at=start + timedelta(days=3)
    )
    assert event.minutes == actions.LONGEST_SHIFT_MINUTES


def test_stop_work_refuses_impossible_minutes(unit, technician):
    actions.start_work(stage=stage_of(unit, "S0"), by=technician)
    with pytest.raises(StageError, match="5000 minutes is outside 0 to 960"):
        actions.stop_work(stage=stage_of(unit, "S0"), by=technician, minutes=5000)


def test_finish_stage_stops_everybodys_timer(unit, technician, other_technician):
    stage = stage_of(unit, "S0")
    actions.start_work(stage=stage, by=technician)
    actions.start_work(stage=stage, by=other_technician)
    actions.finish_stage(stage=stage, by=technician)
    assert WorkEvent.objects.filter(kind="stop").count() == 2
    assert stage_of(unit, "S0").state == "finished"


def test_finish_stage_twice_says_what_it_is(unit, technician):
    finish(unit, technician, "S0")
    with pytest.raises(StageError, match="S0 is finished; it cannot finish now"):
        actions.finish_stage(stage=stage_of(unit, "S0"), by=technician)


def test_sign_stage_refuses_who_worked_on_it(unit, technician, inspector):
    finish(unit, technician, "S0")
    with pytest.raises(StageError, match="Tess Cedar worked on S0"):
        actions.sign_stage(stage=stage_of(unit, "S0"), by=technician)
    actions.sign_stage(stage=stage_of(unit, "S0"), by=inspector)
    assert stage_of(unit, "S0").signed_by == inspector


def test_reopen_stage_withdraws_the_signature_and_keeps_the_reason(unit, technician, inspector):
    finish(unit, technician, "S0")
    actions.sign_stage(stage=stage_of(unit, "S0"), by=inspector)
    actions.reopen_stage(stage=stage_of(unit, "S0"), by=inspector, reason="Wrong unit")
    stage = stage_of(unit, "S0")
    assert (stage.state, stage.signed_by, stage.signed_at) == ("working", None, None)
    assert stage.events.filter(kind="reopen", note="Wrong unit").exists()


def test_release_hold_refuses_who_worked_before_it(unit, technician, inspector):
    finish(unit, technician, "S0")
    hold = stage_of(unit, "S1").holds.get(code="H0")
    with pytest.raises(StageError, match="Tess Cedar worked on S0; somebody else"):
        holds.release_hold(hold=hold, by=technician)
    holds.release_hold(hold=hold, by=inspector, note="All options found")
    with pytest.raises(StageError, match="already released"):
        holds.release_hold(hold=hold, by=inspector)


def test_refuse_hold_keeps_it_and_records_why(unit, inspector):
    hold = stage_of(unit, "S1").holds.get(code="H0")
    with pytest.raises(StageError, match="Say why"):
        holds.refuse_hold(hold=hold, by=inspector, reason=" ")
    holds.refuse_hold(hold=hold, by=inspector, reason="No upfit package")
    hold.refresh_from_db()
    assert hold.released_at is None
    assert AuditEvent.objects.filter(sentence__contains="No upfit package").exists()
