from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from inspections.my_day import day
from jobs.models import Job, Stage, WorkEvent
from tests.factories import make_job, make_unit

TODAY = date(2026, 3, 10)
State = Job.State


def make_stage(unit, code: str = "S10", state: str = Stage.State.WAITING, **fields) -> Stage:
    position = unit.stages.count()
    return Stage.objects.create(
        unit=unit, code=code, name="Wiring", position=position, state=state, **fields
    )


MANAGERS = frozenset({"manager"})


def job_rows() -> list[day.JobRow]:
    return day.job_rows(day.open_jobs(), MANAGERS, TODAY)


# --- Jobs ---


def test_a_job_shows_its_step_and_what_the_reader_can_do(shop):
    make_job()
    row = job_rows()[0]
    assert row.step.word == "Enquiry"
    assert row.action.words == "Add the first unit"
    assert day.job_rows(day.open_jobs(), frozenset({"technician"}), TODAY)[0].action is None


def test_jobs_that_are_over_are_gone(shop):
    job = make_job(state=State.RELEASED)
    make_job(state=State.DELIVERED)
    make_job(state=State.CANCELLED)
    assert [row.job for row in job_rows()] == [job]


# --- Promised dates ---


@pytest.mark.parametrize(
    ("days", "words", "at_risk"),
    [
        (-1, "1 day late", True),
        (0, "today", True),
        (14, "in 14 days", True),
        (15, "in 15 days", False),
    ],
)
def test_a_promised_date_is_at_risk_two_weeks_before(shop, days, words, at_risk):
    make_job(promised_on=TODAY + timedelta(days=days))
    row = job_rows()[0]
    assert (row.due_words, row.at_risk) == (words, at_risk)


def test_a_finished_job_is_not_at_risk_and_the_nearest_date_comes_first(shop):
    late = make_job(promised_on=TODAY - timedelta(days=3), state=State.RELEASED)
    undated = make_job()
    next_one = make_job(promised_on=TODAY + timedelta(days=3))
    rows = job_rows()
    assert [row.job for row in rows] == [late, next_one, undated]
    assert [row.at_risk for row in rows] == [False, True, False]
    assert rows[2].due_words == "no date promised"


def test_job_rows_cost_the_same_for_few_and_many(shop):
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            job_rows()
        return len(caught)

    make_stage(make_unit(job=make_job(state=State.BUILDING)))
    few = queries()
    for index in range(12):
        make_stage(make_unit(job=make_job(state=State.BUILDING), number=f"U{index}"))
    assert queries() == few


# --- Waiting for inspection ---


def finish(stage: Stage, person, days_ago: int) -> None:
    at = timezone.now() - timedelta(days=days_ago)
    WorkEvent.objects.create(stage=stage, kind=WorkEvent.Kind.FINISH, person=person, at=at)
    Stage.objects.filter(pk=stage.pk).update(state=Stage.State.FINISHED)


def test_units_wait_for_the_inspector_oldest_first(shop, technician):
    job = make_job(state=State.BUILDING)
    young, old, busy = (make_unit(job=job, number=name) for name in ("Y", "O", "B"))
    finish(make_stage(young), technician, days_ago=1)
    finish(make_stage(old, "S10"), technician, days_ago=2)
    finish(make_stage(old, "S20"), technician, days_ago=9)
    make_stage(busy, state=Stage.State.WORKING)
    rows = day.waiting_units()
    assert [row.unit for row in rows] == [old, young]
    assert rows[0].reasons == ["2 stages to sign off"]
    assert (timezone.now() - rows[0].since).days == 9


def test_a_unit_with_every_stage_signed_waits_for_release(shop):
    unit = make_unit(job=make_job(state=State.BUILDING))
    make_stage(unit, state=Stage.State.SIGNED)
    assert day.waiting_units()[0].reasons == ["all stages signed off, ready for release"]


def test_units_of_a_job_that_is_only_quoted_do_not_wait(shop, technician):
    unit = make_unit(job=make_job(state=State.QUOTED))
    finish(make_stage(unit), technician, days_ago=1)
    assert day.waiting_units() == []


# --- A technician's work ---


def test_what_can_start_comes_before_what_is_blocked(shop, technician):
    unit = make_unit(job=make_job(state=State.BUILDING))
    ready = make_stage(unit, "S10")
    blocked = [make_stage(unit, f"S{at}0") for at in range(2, 7)]
    for stage in blocked:
        stage.prerequisites.add(ready)
    work = day.work_of(technician)
    assert [row.stage for row in work.now] == [ready]
    assert (work.first_in_line, [row.stage for row in work.later]) == ([], blocked)
    Stage.objects.filter(pk=ready.pk).update(state=Stage.State.FINISHED)
    assert [row.stage for row in day.work_of(technician).now] == blocked


def test_when_nothing_can_start_the_first_in_line_are_shown(shop, technician):
    unit = make_unit(job=make_job(state=State.BUILDING))
    stages = [make_stage(unit, f"S{at}0") for at in range(1, 6)]
    for before, after in zip(stages, stages[1:] + stages[:1], strict=True):
        after.prerequisites.add(before)
    work = day.work_of(technician)
    assert [row.stage for row in work.first_in_line] == stages[:3]
    assert [row.stage for row in work.later] == stages[3:]


# --- A new shop ---


def test_first_steps_tick_off_and_end_with_the_first_job(shop, manager):
    assert [step.done for step in day.first_steps()] == [True, False, False, False]
    from tests.conftest import make_person

    make_person("second")
    assert [step.done for step in day.first_steps()] == [True, True, False, False]
    assert [step.is_next for step in day.first_steps()] == [False, False, True, False]
    make_job()
    assert day.first_steps() == []
