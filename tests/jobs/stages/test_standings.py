import pytest
from django.utils import timezone

from jobs.intake.spine import Now
from jobs.models import Stage
from jobs.stages.standings import work_standings
from tests.factories import make_job, make_unit

pytestmark = pytest.mark.django_db


def told(job):
    return work_standings([job])[job.pk]


@pytest.fixture
def job():
    job = make_job(number="J-1", state="building")
    unit = make_unit(job=job, number="SR-4")
    for position, name in enumerate(("Strip", "Holes", "Wiring"), 1):
        Stage.objects.create(unit=unit, code=f"S{position}", name=name, position=position)
    return job


def set_states(job, by, *states):
    for stage, state in zip(Stage.objects.order_by("position"), states, strict=True):
        signed = state == Stage.State.SIGNED
        Stage.objects.filter(pk=stage.pk).update(
            state=state,
            signed_by=by if signed else None,
            signed_at=timezone.now() if signed else None,
        )


def test_without_stages_the_manager_plans_after_the_award():
    assert told(make_job(state="quoted")).action is None
    assert told(make_job(state="approved")).action.words == "Plan the stages"


@pytest.mark.parametrize(
    ("states", "words"),
    [
        (("waiting", "waiting", "waiting"), "Start S1 Strip on SR-4"),
        (("signed", "waiting", "waiting"), "Start S2 Holes on SR-4"),
        (("signed", "waiting", "working"), "Go on with S3 Wiring on SR-4"),
    ],
)
def test_the_technician_goes_on_with_what_is_begun_then_starts_the_next(
    job, inspector, states, words
):
    set_states(job, inspector, *states)
    found = told(job)
    assert (found.now, found.action.words) == (Now.OPEN, words)
    assert found.action.url.startswith("/jobs/J-1/units/SR-4/stages/S")


def test_finished_work_waits_for_a_signature_and_signed_work_is_done(job, inspector):
    set_states(job, inspector, "signed", "signed", "finished")
    assert told(job).waiting_for == "an inspector's signature"
    assert told(job).detail == "2 of 3 stages signed off"
    set_states(job, inspector, "signed", "signed", "signed")
    assert told(job).now == Now.DONE


def test_many_jobs_cost_one_query(job, django_assert_num_queries):
    jobs = [job, *(make_job() for _ in range(4))]
    with django_assert_num_queries(1):
        assert len(work_standings(jobs)) == 5
