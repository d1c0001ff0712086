import pytest

from inspections.checklists.actions import reopen_check
from inspections.checklists.generate import generate_checks
from inspections.defects.actions import concede, record_check
from inspections.models import Check, Release
from inspections.release import actions
from inspections.release.actions import ReleaseError
from jobs.models import Hold, Job, Shop, Stage
from jobs.stages.actions import StageError, start_work
from tests.factories import make_requirement, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    return unit


def ready(unit, inspector):
    """Everything done except the signature: states set straight, one real result."""
    record_check(check=unit.checks.get(ref="ROAD"), by=inspector, reading=reading())
    unit.checks.update(state="pass")
    Hold.objects.update(released_at=unit.job.created_at, released_by=inspector)
    unit.stages.update(state="finished")
    Job.objects.filter(pk=unit.job_id).update(state="building")


def test_release_blockers_name_everything_open(unit):
    make_requirement(job=unit.job, number=7, status="open")
    words = " ".join(actions.release_blockers(unit))
    assert "critical checks are “Not checked”" in words
    assert "RQ7 is open." in words
    assert "S0 Check-in is not started." in words
    assert "Hold H0 is not released" in words


def test_a_unit_of_a_cancelled_job_is_not_released(unit, inspector):
    ready(unit, inspector)
    Job.objects.filter(pk=unit.job_id).update(state="cancelled")
    with pytest.raises(ReleaseError, match=f"Job {unit.job.number} is cancelled"):
        actions.release_unit(unit=unit, by=inspector)
    assert not Release.objects.exists()


def test_release_unit_signs_keeps_the_chain_head_and_moves_the_job(unit, inspector):
    ready(unit, inspector)
    release = actions.release_unit(unit=unit, by=inspector)
    assert (release.chain_sequence, release.chain_head) == (1, unit.results.get().digest)
    assert Job.objects.get(pk=unit.job_id).state == "released"


def test_release_unit_twice_is_refused(unit, inspector):
    ready(unit, inspector)
    actions.release_unit(unit=unit, by=inspector)
    with pytest.raises(ReleaseError, match="already released"):
        actions.release_unit(unit=unit, by=inspector)
    assert Release.objects.count() == 1


def test_release_unit_by_who_worked_on_it_is_refused(unit, inspector, technician):
    ready(unit, inspector)
    unit.stages.filter(code="S0").update(state="waiting")
    start_work(stage=unit.stages.get(code="S0"), by=technician)
    unit.stages.update(state="finished")
    with pytest.raises(ReleaseError, match="Tess Cedar did work on"):
        actions.release_unit(unit=unit, by=technician)


def test_release_unit_of_a_sole_trader_says_so(unit, owner):
    Shop.objects.update(sole_trader=True)
    ready(unit, owner)
    unit.stages.filter(code="S0").update(state="waiting")
    start_work(stage=unit.stages.get(code="S0"), by=owner)
    unit.stages.update(state="finished")
    assert actions.release_unit(unit=unit, by=owner).took_part


def test_release_unit_with_an_open_defect_is_refused_until_conceded(unit, inspector, manager):
    ready(unit, inspector)
    _, defect = record_check(
        check=unit.checks.get(ref="MECH.EDGE"),
        by=inspector,
        reading=reading("fail", reason="Scratch"),
    )
    with pytest.raises(ReleaseError, match="NCR-01 is open"):
        actions.release_unit(unit=unit, by=inspector)
    concede(defect=defect, by=manager, customer="Ilse Marrow", reason="Cosmetic")
    release = actions.release_unit(unit=unit, by=inspector)
    assert any("NCR-01: accepted as is" in sentence for sentence in release.exceptions)


def test_release_unit_lets_an_open_minor_check_pass_as_an_exception(unit, inspector):
    ready(unit, inspector)
    Check.objects.filter(unit=unit, ref="DOCS").update(state="open")
    release = actions.release_unit(unit=unit, by=inspector)
    assert any(sentence.startswith("DOCS") for sentence in release.exceptions)


def test_sign_off_refuses_while_checks_of_the_stage_are_open(unit, inspector):
    stage = unit.stages.get(code="S13")
    Stage.objects.filter(pk=stage.pk).update(state="finished")
    with pytest.raises(ReleaseError, match="S13 still has open checks: "):
        actions.sign_off(stage=unit.stages.get(code="S13"), by=inspector)
    unit.checks.update(state="pass")
    actions.sign_off(stage=unit.stages.get(code="S13"), by=inspector)
    assert unit.stages.get(code="S13").signed_by == inspector


def test_sign_off_of_a_stage_that_is_not_finished_is_refused(unit, inspector):
    unit.checks.update(state="pass")
    with pytest.raises(StageError, match="it cannot sign now"):
        actions.sign_off(stage=unit.stages.get(code="S13"), by=inspector)


def test_sign_off_of_a_stage_with_an_open_defect_is_refused(unit, inspector):
    check = unit.checks.filter(stage__code="S13").first()
    record_check(check=check, by=inspector, reading=reading("fail", reason="Rattle"))
    unit.checks.update(state="pass")
    Stage.objects.filter(unit=unit).update(state="finished")
    with pytest.raises(ReleaseError, match="S13 still has open defects: NCR-01"):
        actions.sign_off(stage=unit.stages.get(code="S13"), by=inspector)


def test_release_unit_with_a_failed_check_that_the_design_no_longer_asks_for_is_refused(
    unit, inspector
):
    ready(unit, inspector)
    check = unit.checks.get(ref="MECH.EDGE")
    record_check(check=check, by=inspector, reading=reading("fail", reason="Scratch"))
    Check.objects.filter(pk=check.pk).update(retired=True)
    with pytest.raises(ReleaseError, match="NCR-01 is open"):
        actions.release_unit(unit=unit, by=inspector)


def test_release_unit_with_a_disputed_minor_check_is_refused(unit, inspector, technician):
    ready(unit, inspector)
    Check.objects.filter(unit=unit, ref="DOCS").update(state="open")
    docs = unit.checks.get(ref="DOCS")
    record_check(check=docs, by=inspector, reading=reading())
    record_check(check=docs, by=technician, reading=reading("na", reason="No documents yet"))
    with pytest.raises(ReleaseError, match="DOCS Documents match the vehicle needs a decision"):
        actions.release_unit(unit=unit, by=inspector)


@pytest.mark.parametrize("state", ["again", "decision", "open"])
def test_a_concession_excuses_the_failure_and_nothing_after_it(unit, inspector, manager, state):
    ready(unit, inspector)
    check = unit.checks.get(ref="MECH.EDGE")
    _, defect = record_check(check=check, by=inspector, reading=reading("fail", reason="Scratch"))
    concede(defect=defect, by=manager, customer="Ilse Marrow", reason="Cosmetic")
    assert actions.release_blockers(unit) == []
    Check.objects.filter(pk=check.pk).update(state=state)
    assert any("MECH.EDGE" in sentence for sentence in actions.release_blockers(unit))


def test_release_unit_by_who_reworked_before_somebody_else_did_is_refused(
    unit, inspector, technician
):
    ready(unit, inspector)
    reopen_check(check=unit.checks.get(ref="ROAD"), by=technician, reason="Rework of NCR-01")
    unit.checks.update(state="pass")
    with pytest.raises(ReleaseError, match="Tess Cedar did work on"):
        actions.release_unit(unit=unit, by=technician)
