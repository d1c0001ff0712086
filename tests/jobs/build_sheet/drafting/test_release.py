import pytest

from jobs.build_sheet.actions import release_blockers
from jobs.build_sheet.drafting.actions import save_entry, start_draft
from jobs.build_sheet.drafting.document import DraftError, entry_of
from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.drafting.release import accept_risks, release_logic, released_logic
from jobs.build_sheet.drafting.working_out import FOREVER
from jobs.build_sheet.review import review
from jobs.models import AcceptedRisk, AuditEvent
from tests.factories import make_draft, make_wired_job, release_draft
from tests.jobs.controls.small import small_data

pytestmark = pytest.mark.django_db


def changed(draft, by, rule, **fields):
    entry = entry_of(draft.logic, "rules", rule) | fields
    return save_entry(draft=draft, seen=draft.edits, part="rules", was=rule, entry=entry, by=by)


def test_release_logic_is_blocked_by_a_refuted_interlock(designer):
    draft = changed(make_draft(by=designer), designer, "R1", when="UP")
    with pytest.raises(DraftError, match="Refuted: Mast up only when parked is not accepted"):
        release_logic(kept=draft, by=designer)
    assert released_logic(draft.job) is None


def test_release_logic_is_blocked_by_an_uncovered_fault_of_a_safety_interlock(designer):
    draft = make_draft(by=designer)
    with pytest.raises(DraftError, match="gear stuck at"):
        release_logic(kept=draft, by=designer)


def test_release_logic_takes_comfort_interlocks_without_cover(designer):
    interlocks = [each | {"safety": False} for each in small_data()["interlocks"]]
    draft = make_draft(by=designer, data=small_data(interlocks=interlocks))
    assert release_logic(kept=draft, by=designer).is_released


def test_release_logic_writes_who_and_how_many_exceptions(designer):
    draft = make_draft(by=designer)
    release_draft(draft, by=designer)
    draft.refresh_from_db()
    assert draft.released_by == "Dan Birch"
    sentences = list(AuditEvent.objects.values_list("sentence", flat=True))
    count = AcceptedRisk.objects.count()
    assert any(f"with {count} accepted exceptions" in sentence for sentence in sentences)


def test_release_logic_twice_loses_quietly(designer):
    draft = make_draft(by=designer)
    release_draft(draft, by=designer)
    with pytest.raises(DraftError, match=r"Logic 1\.0 is already released"):
        release_logic(kept=draft, by=designer)


def test_release_logic_of_something_else_than_was_seen_is_refused(designer):
    draft = make_draft(by=designer)
    gate = gate_of(draft, seconds=FOREVER)
    chosen = {risk.fingerprint for risk in gate.open_risks}
    accept_risks(kept=draft, gate=gate, chosen=chosen, reason="Agreed", by=designer)
    gate = gate_of(draft, seconds=FOREVER)
    draft.edits = 7
    with pytest.raises(DraftError, match="was changed meanwhile"):
        release_logic(kept=draft, by=designer, gate=gate)


def test_acceptance_carries_over_to_a_version_that_changes_other_things(designer):
    first = make_draft(by=designer)
    release_draft(first, by=designer)
    second = start_draft(job=first.job, version="1.1", note="", by=designer, base=first)
    second = changed(second, designer, "R3", when="TONE pressed AND GEAR is D")
    left = gate_of(second, seconds=FOREVER)
    assert {risk.interlock for risk in left.open_risks} == {"I3"}
    assert {risk.interlock for risk in left.accepted_risks} == {"I1", "I2"}
    third = changed(second, designer, "R3", when="TONE pressed AND GEAR is not P")
    assert gate_of(third, seconds=FOREVER).open_risks == []


def test_acceptance_of_another_job_does_not_count(designer):
    release_draft(make_draft(by=designer), by=designer)
    assert gate_of(make_draft(by=designer), seconds=FOREVER).open_risks


def test_released_logic_is_the_newest_released_one(designer):
    first = make_draft(by=designer)
    release_draft(first, by=designer)
    start_draft(job=first.job, version="1.1", note="", by=designer, base=first)
    assert released_logic(first.job) == first


def test_design_waits_for_a_released_version_of_its_logic(designer):
    job = make_wired_job()
    sentence = "No version of the control logic is released yet."
    assert sentence not in release_blockers(job, review(job))
    draft = make_draft(by=designer, job=job)
    assert sentence in release_blockers(job, review(job))
    release_draft(draft, by=designer)
    assert sentence not in release_blockers(job, review(job))
