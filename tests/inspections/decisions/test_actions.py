import pytest

from inspections.checklists.actions import CheckError, void_result
from inspections.checklists.generate import generate_checks
from inspections.decisions import actions
from inspections.decisions.actions import DecisionError
from inspections.decisions.conflicts import conflict_of, conflicts
from inspections.defects.actions import record_check
from inspections.evidence.verify import verify_unit
from inspections.models import Check, Defect
from inspections.release.actions import ReleaseError, release_blockers, sign_off
from jobs.models import Stage
from tests.conftest import make_person
from tests.factories import make_instrument, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4", keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    return unit


@pytest.fixture
def disputed(unit, inspector, technician):
    """Two people, neither of whom saw the other's answer."""
    check = unit.checks.get(ref="ROAD")
    record_check(check=check, by=inspector, reading=reading(device="Tablet 1"))
    record_check(check=check, by=technician, reading=reading("fail", reason="Rattle"))
    check.refresh_from_db()
    return check


@pytest.fixture
def lead(shop):
    return make_person("lena", "inspector", first="Lena", last="Gum")


def choose(check, by, sequence, reason="Driven again together", seen=None):
    conflict = conflict_of(check)
    keeps = next((row for row in conflict.answers if row.sequence == sequence), None)
    return actions.decide(
        check=check, by=by, keeps=keeps, seen=seen or conflict.seen, reason=reason
    )


def test_two_answers_are_listed_side_by_side_with_who_and_device(unit, disputed):
    (conflict,) = conflicts(unit)
    assert [row.person.username for row in conflict.answers] == ["ines", "tess"]
    assert conflict.answers[0].device == "Tablet 1"
    assert "disagree" in conflict.why
    assert any("ROAD" in words and "decision" in words for words in release_blockers(unit))


def test_a_third_answer_does_not_end_a_dispute(disputed, other_technician):
    record_check(check=disputed, by=other_technician, reading=reading(base_sequence=2))
    disputed.refresh_from_db()
    assert disputed.state == "decision"


def test_decide_keeps_one_answer_and_overwrites_nothing(unit, disputed, lead):
    before = list(unit.results.values_list("sequence", "verdict", "digest"))
    choose(disputed, lead, 1)
    disputed.refresh_from_db()
    assert disputed.state == "pass"
    assert list(unit.results.values_list("sequence", "verdict", "digest"))[:2] == before
    assert unit.results.get(sequence=3).reason == "Driven again together"
    assert verify_unit(unit) is None
    assert conflicts(unit) == []


def test_decide_for_the_pass_closes_the_defect_of_the_failure(unit, disputed, lead):
    choose(disputed, lead, 1)
    defect = unit.defects.get()
    assert (defect.state, defect.disposition) == (Defect.State.CLOSED, "no_defect")
    assert defect.closing_result.kind == "decide"


def test_decide_for_the_failure_leaves_its_defect_open(unit, disputed, lead):
    choose(disputed, lead, 2)
    disputed.refresh_from_db()
    assert (disputed.state, unit.defects.get().state) == ("fail", "open")


def test_decide_for_none_asks_for_the_check_again(disputed, lead):
    choose(disputed, lead, 0)
    disputed.refresh_from_db()
    assert disputed.state == "again"


def test_decide_needs_a_reason_and_a_current_look(disputed, lead, other_technician):
    with pytest.raises(DecisionError, match="needs its reason"):
        choose(disputed, lead, 1, reason="  ")
    with pytest.raises(DecisionError, match="recorded on ROAD meanwhile"):
        choose(disputed, lead, 1, seen=1)


def test_decide_is_not_for_those_who_answered(disputed, inspector):
    with pytest.raises(DecisionError, match="gave one of the answers"):
        choose(disputed, inspector, 1)


def test_decide_twice_is_refused(disputed, lead):
    first = conflict_of(disputed)
    choose(disputed, lead, 1)
    with pytest.raises(DecisionError, match="does not wait"):
        actions.decide(
            check=disputed, by=lead, keeps=first.answers[0], seen=first.seen, reason="Again"
        )


def test_an_answer_of_who_had_not_seen_the_decision_disputes_it(disputed, lead, other_technician):
    choose(disputed, lead, 1)
    record_check(
        check=disputed, by=other_technician, reading=reading("fail", reason="x", base_sequence=2)
    )
    disputed.refresh_from_db()
    assert disputed.state == "decision"
    assert {row.sequence for row in conflict_of(disputed).answers} == {1, 4}


def test_a_result_for_a_changed_check_stays_with_its_version_and_waits(unit, inspector, lead):
    check = unit.checks.get(ref="KEYOFF")
    meter = make_instrument()
    former = {"1": {"high": "58", "low": "0", "expected_text": "At most 58 mA"}}
    Check.objects.filter(pk=check.pk).update(
        version=2, high=40, expected_text="At most 40 mA", former=former
    )
    record_check(
        check=check,
        by=inspector,
        reading=reading("pass", "47", instrument=meter, check_version=1),
    )
    check.refresh_from_db()
    assert check.state == "again"
    result = unit.results.get()
    assert (result.check_version, result.verdict) == (1, "pass")  # judged by what was asked
    assert not unit.defects.exists()
    assert "At most 58 mA" in conflict_of(check).why
    assert "At most 40 mA" in conflict_of(check).why


def test_an_old_answer_is_kept_only_within_the_new_limits(unit, inspector, lead):
    check = unit.checks.get(ref="KEYOFF")
    record_check(
        check=check, by=inspector, reading=reading("pass", "47", instrument=make_instrument())
    )
    Check.objects.filter(pk=check.pk).update(version=2, high=40, state="again")
    check.refresh_from_db()
    assert "version 1" in conflict_of(check).why
    with pytest.raises(DecisionError, match="outside the new limits"):
        choose(check, lead, 1)
    Check.objects.filter(pk=check.pk).update(high=50)
    check.refresh_from_db()
    choose(check, lead, 1, reason="47 mA is within the new limits too")
    check.refresh_from_db()
    assert check.state == "pass"


def signed(unit, inspector):
    stage = unit.stages.get(code="S0")
    record_check(
        check=unit.checks.get(ref="ID.VIN"), by=inspector, reading=reading("na", reason="No plate")
    )
    Stage.objects.filter(pk=stage.pk).update(state="finished")
    sign_off(stage=stage, by=inspector)
    return stage


def test_a_result_after_the_signature_leaves_it_and_waits(unit, inspector, technician, lead):
    stage = signed(unit, inspector)
    check = unit.checks.get(ref="ID.VIN")
    record_check(
        check=check, by=technician, reading=reading("na", reason="Seen earlier, sent late")
    )
    stage.refresh_from_db()
    check.refresh_from_db()
    assert (stage.state, check.state) == ("signed", "decision")
    assert unit.results.get(sequence=2).late
    assert "after the signature" in conflict_of(check).why
    assert any("ID.VIN" in words for words in release_blockers(unit))
    choose(check, lead, 1)
    check.refresh_from_db()
    assert check.state == "na"
    assert verify_unit(unit) is None


def test_a_stage_with_an_undecided_answer_cannot_be_signed(unit, disputed, inspector):
    Stage.objects.filter(pk=disputed.stage_id).update(state="finished")
    disputed.stage.checks.exclude(pk=disputed.pk).update(state="pass")
    with pytest.raises(ReleaseError, match="ROAD"):
        sign_off(stage=disputed.stage, by=inspector)


def test_an_answer_that_a_decision_kept_cannot_be_taken_back(disputed, lead, inspector):
    choose(disputed, lead, 1)
    with pytest.raises(CheckError, match="A decision let entry 1 stand"):
        void_result(result=disputed.results.get(sequence=1), by=inspector, reason="Slip")
    disputed.refresh_from_db()
    assert disputed.state == "pass"


def test_who_takes_the_own_answer_back_ends_the_dispute(unit, disputed, technician):
    void_result(result=disputed.results.get(sequence=2), by=technician, reason="Wrong unit")
    disputed.refresh_from_db()
    assert disputed.state == "pass"
    assert conflicts(unit) == []
