from datetime import UTC, datetime

import pytest

from inspections.checklists.generate import generate_checks
from inspections.defects.actions import record_check
from inspections.models import Defect, Release
from jobs.models import Hold, Shop, Stage
from jobs.stages.actions import (
    StageError,
    blockers,
    sign_stage,
    start_work,
)
from jobs.stages.holds import hold_blockers, release_hold
from jobs.stages.planned import plan_stages
from tests.factories import make_unit, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-1")
    generate_checks(unit=unit, by=manager)
    unit.stages.update(state="finished")
    return unit


def hold(unit, code):
    return Hold.objects.get(stage__unit=unit, code=code)


def leave(unit, inspector):
    Release.objects.create(
        unit=unit, released_by=inspector, released_at=datetime.now(UTC), chain_sequence=0
    )


def test_a_later_unit_waits_for_the_first_article(unit, manager, inspector):
    second = make_unit(job=unit.job, number="SR-2")
    plan_stages(unit=second, by=manager)
    second.stages.update(state="finished")
    assert hold_blockers(hold(unit, "H4")) == []
    assert hold_blockers(hold(second, "H1")) == []  # before the first article matters
    with pytest.raises(StageError, match="Unit SR-1 is the first article"):
        release_hold(hold=hold(second, "H4"), by=inspector)
    leave(unit, inspector)
    release_hold(hold=hold(second, "H4"), by=inspector)


def test_the_release_hold_is_the_release_itself(unit, inspector):
    with pytest.raises(StageError, match="SR-1 is not released by an inspector"):
        release_hold(hold=hold(unit, "H6"), by=inspector)
    leave(unit, inspector)
    release_hold(hold=hold(unit, "H6"), by=inspector)


def test_a_hold_waits_for_the_work_that_it_looks_at(unit, inspector):
    unit.stages.filter(code="S8").update(state="working")
    with pytest.raises(StageError, match="S8 120 V is in work"):
        release_hold(hold=hold(unit, "H4"), by=inspector)


def test_a_stage_waits_for_a_defect_of_the_step_before(unit, inspector):
    record_check(
        check=unit.checks.get(ref="WIRE.ROUTE"), by=inspector, reading=reading("fail", reason="x")
    )
    Stage.objects.filter(unit=unit, code="S10").update(state="waiting")
    words = " ".join(blockers(unit.stages.get(code="S10")))
    assert "NCR-01 on S9 is open: Routing before panels close." in words
    Defect.objects.update(state="concession")
    assert "NCR-01" not in " ".join(blockers(unit.stages.get(code="S10")))


def test_a_sole_trader_signs_and_releases_holds_and_the_record_says_so(unit, owner):
    unit.stages.filter(code="S0").update(state="working")
    start_work(stage=unit.stages.get(code="S0"), by=owner)
    unit.stages.update(state="finished")
    with pytest.raises(StageError, match="somebody else must sign"):
        sign_stage(stage=unit.stages.get(code="S0"), by=owner)
    with pytest.raises(StageError, match="somebody else must release H0"):
        release_hold(hold=hold(unit, "H0"), by=owner)
    Shop.objects.update(sole_trader=True)
    assert "took part" in sign_stage(stage=unit.stages.get(code="S0"), by=owner).note
    release_hold(hold=hold(unit, "H0"), by=owner)
    assert "took part" in hold(unit, "H0").note
