import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from config.access import INSPECTOR, MANAGER
from jobs.intake import spine
from jobs.intake.spine import Action, Now, Standing
from jobs.models import Job
from tests.factories import make_job, make_requirement, make_unit

GO = Action(words="Write the quote", url="/q/", roles=(MANAGER,))


@pytest.fixture
def rooms(monkeypatch):
    """No room speaks, until the test registers one."""
    monkeypatch.setattr(spine, "_rooms", [])


def standing(job, key):
    return next(step for step in spine.spine(job) if step.key == key)


def test_the_steps_are_the_thirteen_words_in_their_order(db):
    words = [step.word for step in spine.spine(make_job())]
    assert len(words) == 13
    assert (words[0], words[5], words[12]) == ("Enquiry", "Designed", "Delivered")


@pytest.mark.parametrize(
    ("state", "key", "word"),
    [
        (Job.State.ENQUIRY, "approved", "Not yet"),
        (Job.State.QUOTED, "approved", "Waiting for the agency"),
        (Job.State.APPROVED, "quoted", "Done"),
        (Job.State.APPROVED, "designed", "Now"),
        (Job.State.BUILDING, "work", "Now"),
        (Job.State.RELEASED, "released", "Done"),
        (Job.State.RELEASED, "delivered", "Now"),
        (Job.State.DELIVERED, "delivered", "Done"),
        (Job.State.CANCELLED, "work", "Not needed"),
    ],
)
def test_what_no_room_speaks_about_follows_from_the_state(rooms, state, key, word):
    assert standing(Job(number="J-1", state=state, pk=1), key).status_word == word


def test_a_room_speaks_for_its_step(rooms):
    spine.register("quoted", lambda jobs: {1: Standing(now=Now.OPEN, action=GO)})
    job = Job(number="J-1", pk=1)
    assert standing(job, "quoted").status_word == "Now"
    assert spine.next_action(spine.spine(job), [MANAGER]) == GO
    assert spine.next_action(spine.spine(job), [INSPECTOR]) is None


def test_of_two_rooms_the_less_finished_one_counts_and_both_are_heard(rooms):
    spine.register("parts", lambda jobs: {1: Standing(now=Now.DONE, detail="5 items here")})
    blocked = Standing(
        now=Now.WAITING, detail="1 order late", waiting_for="the supplier", blockers=("Late.",)
    )
    spine.register("parts", lambda jobs: {1: blocked})
    step = standing(Job(number="J-1", pk=1), "parts")
    assert step.status_word == "Waiting for the supplier"
    assert step.standing.detail == "5 items here; 1 order late"
    assert spine.blockers([step]) == ["Late."]


def test_register_twice_speaks_once_and_an_unknown_step_is_refused(rooms):
    def told(jobs):
        return {1: Standing(now=Now.OPEN, detail="once")}

    spine.register("quoted", told)
    spine.register("quoted", told)
    assert standing(Job(number="J-1", pk=1), "quoted").standing.detail == "once"
    with pytest.raises(ValueError, match="'paid' does not exist"):
        spine.register("paid", told)


def test_a_room_that_reads_once_speaks_about_several_steps(rooms):
    def told(jobs):
        return {"checks": {1: Standing(now=Now.DONE)}, "rework": {1: Standing(now=Now.OPEN)}}

    spine.register_steps(["checks", "rework"], told)
    job = Job(number="J-1", pk=1)
    assert standing(job, "checks").status_word == "Done"
    assert standing(job, "rework").status_word == "Now"
    with pytest.raises(ValueError, match="'paid' does not exist"):
        spine.register_steps(["paid"], told)


def test_what_comes_later_is_offered_when_nothing_else_is(rooms):
    spine.register("quoted", lambda jobs: {1: Standing(now=Now.LATER, action=GO)})
    steps = spine.spine(Job(number="J-1", pk=1, state=Job.State.CANCELLED))
    assert spine.next_action(steps, [MANAGER]) is None
    steps = spine.spine(Job(number="J-1", pk=1))
    assert spine.next_action(steps, [MANAGER]) == GO
    assert spine.current(steps).key == "quoted"


def test_a_cancelled_job_needs_nothing_but_keeps_what_was_done(rooms):
    spine.register("quoted", lambda jobs: {1: Standing(now=Now.DONE)})
    spine.register("approved", lambda jobs: {1: Standing(now=Now.OPEN, action=GO)})
    job = Job(number="J-1", pk=1, state=Job.State.CANCELLED)
    assert standing(job, "quoted").status_word == "Done"
    assert standing(job, "approved").status_word == "Not needed"
    assert spine.next_action(spine.spine(job), [MANAGER]) is None


def test_what_can_go_on_comes_before_what_waits(rooms):
    wait = Action(words="Check in", url="/a/", roles=(MANAGER,))
    spine.register("arrival", lambda jobs: {1: Standing(now=Now.WAITING, action=wait)})
    spine.register("quoted", lambda jobs: {1: Standing(now=Now.OPEN, action=GO)})
    steps = spine.spine(Job(number="J-1", pk=1))
    assert spine.next_action(steps, [MANAGER]) == GO
    assert spine.current(steps).key == "quoted"


def test_spines_cost_the_same_for_one_job_and_for_twenty(db, django_assert_num_queries):
    def fill(count):
        for _ in range(count):
            job = make_job()
            make_unit(job=job)
            make_requirement(job=job)

    fill(1)
    with CaptureQueriesContext(connection) as few:
        spine.spines(list(Job.objects.all()))
    fill(19)
    with django_assert_num_queries(len(few)):
        spine.spines(list(Job.objects.all()))
