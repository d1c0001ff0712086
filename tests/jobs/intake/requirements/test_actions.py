from datetime import date

import pytest

from jobs.intake.errors import IntakeError
from jobs.intake.requirements import actions
from jobs.models import AuditEvent, Requirement
from tests.factories import make_job, make_requirement

DAY = date(2026, 3, 16)


def settle(requirement, manager, status, old="open"):
    actions.set_status(
        requirement=requirement,
        old=old,
        status=status,
        settled_by="Tobin Rask",
        settled_on=DAY,
        note="",
        by=manager,
    )


def test_numbers_go_on_after_the_largest(manager):
    job = make_job()
    make_requirement(job=job, number=16)
    values = {"text": "Mast", "source": "Call"}
    assert str(actions.add_requirement(job=job, values=values, by=manager)) == "RQ17"


def test_confirming_keeps_who_and_when_and_tells_the_history(manager):
    requirement = make_requirement()
    settle(requirement, manager, "confirmed")
    assert (requirement.settled_by, requirement.settled_on) == ("Tobin Rask", DAY)
    assert AuditEvent.objects.get().sentence.startswith("RQ1 is confirmed by Tobin Rask: ")


def test_opening_again_forgets_who_settled_it(manager):
    requirement = make_requirement(status="confirmed")
    settle(requirement, manager, "open", old="confirmed")
    assert (requirement.status, requirement.settled_by, requirement.settled_on) == (
        "open",
        "",
        None,
    )


def test_of_two_different_decisions_the_second_is_told(manager):
    requirement = make_requirement()
    settle(requirement, manager, "confirmed")
    with pytest.raises(IntakeError, match="Somebody else set RQ1 to confirmed"):
        settle(requirement, manager, "waived")
    requirement.refresh_from_db()
    assert requirement.status == "confirmed"


def test_the_same_decision_twice_is_one(manager):
    requirement = make_requirement()
    settle(requirement, manager, "confirmed")
    settle(requirement, manager, "confirmed")
    assert AuditEvent.objects.count() == 1


def test_new_words_open_a_confirmed_requirement_again(manager):
    requirement = make_requirement(status="confirmed")
    values = {"text": "Mast 14 ft"}
    assert actions.change_requirement(requirement=requirement, version=0, values=values, by=manager)
    requirement = Requirement.objects.get()
    assert (requirement.status, requirement.settled_by) == ("open", "")
    assert "It was confirmed and is open again." in AuditEvent.objects.get().sentence


def test_another_note_leaves_a_confirmed_requirement_confirmed(manager):
    requirement = make_requirement(status="confirmed")
    values = {"note": "By phone"}
    reopened = actions.change_requirement(
        requirement=requirement, version=0, values=values, by=manager
    )
    assert not reopened
    assert Requirement.objects.get().status == "confirmed"


def test_copies_are_open_name_their_origin_and_skip_what_is_there(manager):
    old, job = make_job(number="J-1"), make_job()
    make_requirement(job=old, text="Mast", status="confirmed", must=False, drives_design=True)
    make_requirement(job=old, text="Siren", source="x" * 200)
    make_requirement(job=job, text="Siren")
    count = actions.copy_requirements(job=job, requirements=old.requirements.all(), by=manager)
    copy = job.requirements.get(text="Mast")
    assert count == 1
    assert (copy.number, copy.status, copy.must, copy.drives_design) == (2, "open", False, True)
    assert copy.source.startswith("Copied from J-1 RQ1; there: Crew")


def test_a_long_source_is_cut_to_fit(manager):
    old = make_requirement(source="x" * 200)
    job = make_job()
    actions.copy_requirements(job=job, requirements=old.job.requirements.all(), by=manager)
    assert len(job.requirements.get().source) == 200


def test_copying_nothing_is_not_worth_a_line_of_history(manager):
    assert actions.copy_requirements(job=make_job(), requirements=[], by=manager) == 0
    assert not AuditEvent.objects.exists()
