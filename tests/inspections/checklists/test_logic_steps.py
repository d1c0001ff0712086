import pytest

from inspections.checklists.actions import record_result
from inspections.checklists.generate import generate_checks
from inspections.models import Release
from inspections.release.logic_release import release_program
from jobs.build_sheet.drafting.actions import save_entry, start_draft
from jobs.build_sheet.drafting.document import entry_of
from jobs.build_sheet.drafting.gate import gate_of
from jobs.build_sheet.drafting.release import accept_risks
from jobs.build_sheet.drafting.working_out import FOREVER
from tests.factories import make_draft, make_unit, make_working_unit, reading, release_draft

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager)


@pytest.fixture
def first(unit, designer):
    draft = make_draft(by=designer, job=unit.job)
    release_draft(draft, by=designer)
    return draft


def steps(unit, **which):
    return unit.checks.exclude(about="").filter(retired=False, **which)


def second_version(first, by, **rule):
    """The siren's rule changed, everything accepted, released."""
    draft = start_draft(job=first.job, version="1.1", note="", by=by, base=first)
    entry = entry_of(draft.logic, "rules", "R3") | rule
    draft = save_entry(draft=draft, seen=0, part="rules", was="R3", entry=entry, by=by)
    gate = gate_of(draft, seconds=FOREVER)
    chosen = {risk.fingerprint for risk in gate.open_risks}
    if chosen:
        accept_risks(kept=draft, gate=gate, chosen=chosen, reason="Agreed", by=by)
    return release_program(kept=draft, by=by)


def test_a_draft_asks_for_no_step(unit, designer, manager):
    make_draft(by=designer, job=unit.job)
    generate_checks(unit=unit, by=manager)
    assert not steps(unit).exists()


def test_releasing_makes_each_step_a_check_in_bay_words(unit, first):
    step = steps(unit).get(about="I1/MAST/PB unknown")
    assert step.title == "Mast up is off with park brake not known"
    assert "Unplug park brake." in step.instruction
    assert step.instruction.startswith("Start: ")
    assert step.expected_text == "Mast up is off."
    assert (step.stage.code, step.made_in, step.kind) == ("S11", "S10", "function")
    assert step.critical
    assert "Control logic 1.0, step" in step.tolerance_source
    refs = list(steps(unit).values_list("ref", flat=True))
    assert refs == [f"STEP.{number + 1}" for number in range(len(refs))]


def test_only_safety_steps_are_critical(unit, first):
    assert steps(unit, critical=True).exists()
    wanted = set(steps(unit, critical=True).values_list("area", flat=True))
    assert wanted == {"Control logic, safety"}


def test_generating_again_changes_no_step(unit, first, manager):
    assert generate_checks(unit=unit, by=manager) == (0, 0)


def test_a_new_version_asks_again_only_what_it_affects(unit, first, designer, inspector):
    for check in steps(unit):
        record_result(check=check, by=inspector, reading=reading())
    before = {check.key: check for check in steps(unit)}
    (asked,) = second_version(first, designer, when="TONE pressed AND GEAR is D")
    now = {check.key: check for check in steps(unit)}
    same = before.keys() & now.keys()
    assert asked.kept == len(same) > 0
    assert {now[key].state for key in same} == {"pass"}
    assert all(key_of in ("SIREN", "I3") for key_of in _subjects(now, now.keys() - same))
    fresh = [now[key] for key in now.keys() - same]
    assert {check.state for check in fresh} == {"open"}
    again = [check for check in fresh if check.replaces]
    assert asked.again == len(again) > 0
    for check in again:
        assert check.replaces.about == check.about
        assert check.replaces.retired
        assert check.replaces.results.filter(verdict="pass").exists()


def _subjects(checks, keys):
    return {checks[key].about.split("/")[0] for key in keys}


def test_going_back_to_what_was_asked_before_counts_its_results(unit, first, designer, inspector):
    for check in steps(unit):
        record_result(check=check, by=inspector, reading=reading())
    second_version(first, designer, when="TONE pressed AND GEAR is D")
    assert steps(unit, state="open").exists()
    third = start_draft(job=first.job, version="1.2", note="", by=designer, base=first)
    release_draft(third, by=designer)
    assert set(steps(unit).values_list("state", flat=True)) == {"pass"}


def test_a_released_unit_keeps_its_steps(unit, first, designer, manager):
    Release.objects.create(
        unit=unit, released_by=manager, released_at=first.made_at, chain_sequence=0,
        chain_head="", statement="Released", exceptions=[],
    )  # fmt: skip
    before = set(steps(unit).values_list("key", flat=True))
    assert second_version(first, designer, when="TONE pressed AND GEAR is D") == []
    assert set(steps(unit).values_list("key", flat=True)) == before


def test_a_unit_without_stages_follows_later(designer, manager):
    unit = make_unit()
    draft = make_draft(by=designer, job=unit.job)
    release_draft(draft, by=designer)
    assert not unit.checks.exists()
