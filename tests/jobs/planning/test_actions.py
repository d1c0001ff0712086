from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.buying import actions as buying
from jobs.models import Job, PlanResource, Stage, Supplier
from jobs.planning import actions
from jobs.planning.actions import PlanError, check_promise, keep_plan, work_out
from jobs.planning.board import board
from jobs.planning.rows import MOST_UNITS, picture_of_shop
from jobs.stages.actions import finish_stage, start_work
from tests.factories import make_furnished_item, make_unit, make_working_unit

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate


@pytest.fixture(autouse=True)
def quick(monkeypatch):
    monkeypatch.setattr(actions, "REQUEST_SECONDS", 0.5)


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    Job.objects.filter(pk=unit.job_id).update(promised_on=TODAY() + timedelta(days=60))
    return unit


def test_a_plan_changes_nothing_before_it_is_kept_and_then_once(unit, manager):
    run = work_out(by=manager)
    assert not Stage.objects.filter(planned_start__isnull=False).exists()
    assert run.result["optimal"]
    assert keep_plan(run=run, by=manager) == 1
    stage = Stage.objects.get(unit=unit, code="S6")
    assert stage.planned_start >= TODAY()
    with pytest.raises(PlanError, match="already"):
        keep_plan(run=run, by=manager)


def test_a_question_is_never_kept(unit, manager):
    run = work_out(by=manager, more={"Bays": 1})
    assert run.question
    with pytest.raises(PlanError, match="answers a question"):
        keep_plan(run=run, by=manager)


def test_a_plan_of_yesterday_s_shop_is_not_kept(unit, manager):
    run = work_out(by=manager)
    Stage.objects.filter(unit=unit, code="S6").update(planned_minutes=6_000)
    with pytest.raises(PlanError, match="changed since"):
        keep_plan(run=run, by=manager)


def test_no_bay_is_said_and_not_planned_over(unit, manager):
    PlanResource.objects.create(name="Bays", capacity=0)
    run = work_out(by=manager)
    assert "needs 1 of Bays; there are 0" in run.result["problems"][0]
    with pytest.raises(PlanError, match="no plan to keep"):
        keep_plan(run=run, by=manager)


def test_done_work_is_not_planned_again_and_the_rest_passes_on_its_order(unit, manager, technician):
    Stage.objects.filter(unit=unit, code__in=["S1", "S7"]).update(planned_minutes=120)
    names = [task.name for task in picture_of_shop().shop.tasks]
    assert names == ["S1", "S6", "S7"]
    by_name = {task.name: task for task in picture_of_shop().shop.tasks}
    assert by_name["S7"].after
    Stage.objects.filter(unit=unit).update(state="waiting")
    first = unit.stages.order_by("position").first()
    start_work(stage=first, by=technician)
    finish_stage(stage=first, by=technician)
    assert first.code not in [task.name for task in picture_of_shop().shop.tasks]


def test_a_late_unit_names_the_agency_item_it_waits_for(unit, manager):
    day = TODAY() + timedelta(days=90)
    make_furnished_item(job=unit.job, description="Radio", needed_for_stage="S6", expected_on=day)
    (one,) = work_out(by=manager).result["units"]
    assert one["late"]
    assert one["because"] == "S6 waits for Radio of the agency."


def test_a_short_part_moves_its_stage_by_its_lead_time(unit, manager):
    line = unit.job.lines.get()
    type(line.part).objects.filter(pk=line.part_id).update(lead_days=100)
    supplier = Supplier.objects.create(name="S")
    part = line.part.part
    buying.order_parts(wanted={part: 1}, suppliers={part: supplier}, by=manager)
    (one,) = work_out(by=manager).result["units"]
    assert one["because"] == f"S6 waits for part {part.code}."
    type(line.part).objects.filter(pk=line.part_id).update(lead_days=None)
    run = work_out(by=manager)
    assert "No lead time" in run.result["notes"][0]


def test_a_promise_is_checked_against_the_load_without_saving(unit, manager):
    PlanResource.objects.create(name="Bays", capacity=1)
    Stage.objects.filter(unit=unit, code="S6").update(planned_minutes=480 * 40)
    soon = TODAY() + timedelta(days=14)
    before = list(Stage.objects.values_list("planned_start", flat=True))
    answer = check_promise(minutes={"S6": 480 * 3}, units=1, not_before=TODAY(), wished=soon)
    assert list(Stage.objects.values_list("planned_start", flat=True)) == before
    assert not answer.problems
    assert answer.in_time == (answer.ends <= soon)
    none = check_promise(minutes={}, units=1, not_before=TODAY(), wished=soon)
    assert "no hours" in none.problems[0]


def test_a_promise_that_cannot_be_held_says_why(unit, manager):
    answer = check_promise(
        minutes={"S6": 480 * 30}, units=1, not_before=TODAY(), wished=TODAY() + timedelta(days=3)
    )
    assert not answer.in_time
    assert answer.because


def test_the_board_shows_days_load_and_overload(unit, manager):
    keep_plan(run=work_out(by=manager), by=manager)
    found = board()
    assert any("S6" in cell.codes for cell in found.rows[0].cells)
    assert not any(load.over for _, weeks in found.loads for load in weeks)
    Stage.objects.filter(unit=unit, code="S6").update(planned_minutes=480 * 40)
    assert any(load.over for _, weeks in board().loads for load in weeks)


def test_too_many_units_are_said(unit, manager):
    for _ in range(MOST_UNITS):
        make_unit(job=unit.job)
    assert any("more wait" in note for note in picture_of_shop().notes)


def test_units_whose_work_is_done_take_no_place_in_the_plan(unit, manager, client):
    for _ in range(MOST_UNITS):
        make_unit(job=unit.job)
    client.force_login(manager)
    where = reverse("jobs:plan_board")
    assert "<strong>1 more wait</strong>" in client.get(where).content.decode()
    unit.stages.update(state=Stage.State.SIGNED)
    assert not any("more wait" in note for note in picture_of_shop().notes)
    assert "more wait" not in client.get(where).content.decode()


def test_work_in_a_week_without_anybody_is_shown_as_too_much(unit, manager):
    keep_plan(run=work_out(by=manager), by=manager)
    PlanResource.objects.filter(name="People").update(capacity=0)
    (load, *_) = {one.name: weeks for one, weeks in board().loads}["People"]
    assert load.over
    assert load.percent is None


def test_fewer_than_nobody_is_nobody(unit, manager):
    run = work_out(by=manager, more={"People": -50})
    assert "needs 1 of People; there are 0" in run.result["problems"][0]


@pytest.mark.parametrize("day", [date.min, date.max])
def test_a_promise_on_any_day_is_planned_with(unit, manager, day):
    Job.objects.filter(pk=unit.job_id).update(promised_on=day)
    assert work_out(by=manager).result["units"][0]["late"] == (day == date.min)


def test_hours_that_no_calendar_holds_are_said(unit, manager):
    Stage.objects.filter(unit=unit, code="S6").update(planned_minutes=2_000_000)
    run = work_out(by=manager)
    assert "cannot end within the days" in run.result["problems"][0]
    assert run.result["units"] == []
    answer = check_promise(minutes={"S6": 60}, units=1, not_before=TODAY(), wished=TODAY())
    assert "cannot end" in answer.problems[0]
