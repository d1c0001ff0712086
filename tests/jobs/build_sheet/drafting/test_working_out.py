import pytest

from jobs.build_sheet.drafting import working_out
from jobs.build_sheet.drafting.tasks import drain_logic, sweep_logic
from jobs.build_sheet.drafting.working_out import FOREVER, Kind, State, asked_for, complete
from jobs.models import LogicWork
from tests.factories import make_draft

pytestmark = pytest.mark.django_db


def test_asked_for_works_a_small_logic_out_at_once(designer):
    works = asked_for(make_draft(by=designer), *Kind.values, seconds=FOREVER)
    assert {work.state for work in works} == {State.DONE}
    assert [row["interlock"] for row in works[0].found] == ["I1", "I2", "I3"]


def test_the_same_logic_is_worked_out_once_whatever_the_job(designer):
    first = complete(make_draft(by=designer), Kind.PROOFS)
    assert complete(make_draft(by=designer), Kind.PROOFS).pk == first.pk


def test_what_takes_too_long_is_left_to_the_worker(designer):
    draft = make_draft(by=designer)
    (work,) = asked_for(draft, Kind.FAULTS, seconds=0)
    assert (work.state, work.done) == (State.QUEUED, 0)
    drain_logic()
    work.refresh_from_db()
    assert (work.state, work.done, work.total) == (State.DONE, 3, 3)
    assert work.found == complete(draft, Kind.FAULTS).found


def test_a_worker_goes_on_where_another_stopped(designer, monkeypatch):
    draft = make_draft(by=designer)
    asked_for(draft, Kind.PROOFS, seconds=0)
    monkeypatch.setattr(working_out, "PAUSE_SECONDS", 0)
    for done in (1, 2, 3):
        drain_logic()
        assert LogicWork.objects.get().done == done
    assert LogicWork.objects.get().state == State.DONE


def test_a_worker_that_died_loses_its_claim(designer):
    asked_for(make_draft(by=designer), Kind.PROOFS, seconds=0)
    assert working_out.claim() is not None
    assert working_out.claim() is None
    working_out.release_all()
    assert working_out.claim() is not None


def test_what_fails_again_and_again_says_so_and_can_be_tried_again(designer, monkeypatch):
    draft = make_draft(by=designer)
    asked_for(draft, Kind.PROOFS, seconds=0)

    def burst(*_):
        raise RuntimeError

    monkeypatch.setattr(working_out, "answers", burst)
    for _ in range(working_out.MOST_ATTEMPTS):
        drain_logic()
    work = LogicWork.objects.get()
    assert work.state == State.FAILED
    assert "Piece 1 of 3 took too long or failed" in work.error
    monkeypatch.undo()
    assert complete(draft, Kind.PROOFS).state == State.DONE


def test_sweep_logic_rings_only_for_what_waits(designer, monkeypatch):
    rung = []
    monkeypatch.setattr("jobs.build_sheet.drafting.tasks.ring", rung.append)
    sweep_logic()
    assert rung == []
    asked_for(make_draft(by=designer), Kind.PROOFS, seconds=0)
    sweep_logic()
    assert rung == [working_out.DRAIN]
