import pytest

from jobs.build_sheet.drafting.actions import (
    discard_draft,
    remove_entry,
    save_entry,
    start_draft,
)
from jobs.build_sheet.drafting.document import DraftError, entry_of
from jobs.build_sheet.drafting.working_out import complete
from jobs.models import AuditEvent, ControlLogic, LogicWork
from tests.factories import make_draft, make_job, release_draft

pytestmark = pytest.mark.django_db

LAMP = {"name": "LAMP", "label": "lamp"}


def add_lamp(draft, by, seen=None):
    seen = draft.edits if seen is None else seen
    return save_entry(draft=draft, seen=seen, part="outputs", was=None, entry=LAMP, by=by)


def test_start_draft_from_nothing_or_as_a_copy(designer):
    job = make_job()
    empty = start_draft(job=job, version="0.1", note="First", by=designer)
    assert "rules" not in empty.logic
    base = make_draft(by=designer, job=job)
    copy = start_draft(job=job, version="1.1", note="More", by=designer, base=base)
    assert copy.based_on == "1.0"
    assert copy.logic == base.logic | {"version": "1.1"}


def test_start_draft_twice_says_that_it_exists(designer):
    draft = make_draft(by=designer)
    with pytest.raises(DraftError, match=r"Version 1\.0 is already kept"):
        start_draft(job=draft.job, version="1.0", note="", by=designer)


def test_save_entry_writes_the_change_its_history_and_a_new_digest(designer):
    draft = make_draft(by=designer)
    old = draft.sha256
    add_lamp(draft, designer)
    assert entry_of(draft.logic, "outputs", "LAMP") == LAMP
    assert draft.sha256 != old
    assert "Added output LAMP" in AuditEvent.objects.latest("id").sentence


def test_save_entry_tells_the_second_of_two_people(designer):
    draft = make_draft(by=designer)
    other = ControlLogic.objects.get(pk=draft.pk)
    add_lamp(draft, designer)
    with pytest.raises(DraftError, match="Somebody else changed logic") as caught:
        save_entry(
            draft=other, seen=0, part="outputs", was=None, entry=LAMP | {"name": "B"}, by=designer
        )
    assert caught.value.stale
    assert entry_of(ControlLogic.objects.get(pk=draft.pk).logic, "outputs", "B") is None


def test_save_entry_of_a_double_click_adds_once(designer):
    draft = make_draft(by=designer)
    again = ControlLogic.objects.get(pk=draft.pk)
    add_lamp(draft, designer)
    with pytest.raises(DraftError):
        add_lamp(again, designer, seen=0)
    names = [each["name"] for each in ControlLogic.objects.get(pk=draft.pk).logic["outputs"]]
    assert names.count("LAMP") == 1


def test_a_released_version_refuses_every_change(designer):
    draft = make_draft(by=designer)
    stale = ControlLogic.objects.get(pk=draft.pk)
    release_draft(draft, by=designer)
    for kept in (draft, stale):
        with pytest.raises(DraftError, match="is released and stays as it is"):
            add_lamp(kept, designer)
    with pytest.raises(DraftError, match="is released"):
        discard_draft(draft=stale, seen=stale.edits, by=designer)
    assert ControlLogic.objects.get(pk=draft.pk).logic == draft.logic


def test_remove_entry_of_what_is_used_changes_nothing(designer):
    draft = make_draft(by=designer)
    with pytest.raises(DraftError) as caught:
        remove_entry(draft=draft, seen=0, part="signals", name="UP", by=designer)
    assert caught.value.problem.name == "R1"
    assert ControlLogic.objects.get(pk=draft.pk).edits == 0


def test_answers_about_a_text_that_is_gone_are_thrown_away(designer):
    draft = make_draft(by=designer)
    complete(draft, LogicWork.Kind.PROOFS)
    add_lamp(draft, designer)
    assert not LogicWork.objects.exists()


def test_discard_draft_keeps_its_history(designer):
    draft = make_draft(by=designer)
    discard_draft(draft=draft, seen=0, by=designer)
    assert not ControlLogic.objects.exists()
    assert "Discarded the draft" in AuditEvent.objects.latest("id").sentence
