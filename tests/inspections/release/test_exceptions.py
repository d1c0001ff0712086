import pytest

from inspections.checklists.actions import void_result
from inspections.checklists.generate import generate_checks
from inspections.decisions.actions import decide
from inspections.decisions.conflicts import conflict_of
from inspections.defects.actions import record_check
from inspections.demo.cards import card
from inspections.release.exceptions import exceptions
from jobs.models import Shop, Stage
from jobs.stages.actions import start_work
from tests.conftest import make_person
from tests.factories import make_instrument, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    return unit


def recorded(unit, ref, by, *values, photos=(), **more):
    return record_check(
        check=unit.checks.get(ref=ref), by=by, reading=reading(*values, **more), photos=photos
    )[0]


@pytest.mark.parametrize(("volts", "near"), [("13.1", True), ("13.7", False), ("14.35", True)])
def test_exceptions_name_readings_near_a_limit(unit, inspector, volts, near):
    recorded(unit, "A-01.V", inspector, "pass", volts, instrument=make_instrument())
    assert any("near its limit" in words for words in exceptions(unit)) is near


def test_a_joint_without_any_drop_is_no_news(unit, inspector):
    recorded(unit, "A.J", inspector, "pass", "0", instrument=make_instrument())
    assert not any("A.J" in words for words in exceptions(unit))


def test_exceptions_name_decisions_and_who_made_them(unit, technician, other_technician, inspector):
    recorded(unit, "ROAD", technician)
    recorded(unit, "ROAD", other_technician, "na", reason="No road yet")
    check = unit.checks.get(ref="ROAD")
    conflict = conflict_of(check)
    decide(
        check=check, by=inspector, keeps=conflict.answers[0], seen=conflict.seen, reason="Driven"
    )
    assert "ROAD: decided by Ines Elm, entry 1 kept. Driven" in exceptions(unit)


def test_exceptions_name_photos_taken_back_and_answers_after_a_signature(unit, inspector):
    photo = card("VIN plate", "SR-4", inspector)
    first = recorded(unit, "ID.VIN", inspector, photos=[photo])
    void_result(result=first, by=inspector, reason="Blurred")
    recorded(unit, "ID.VIN", inspector, photos=[photo], base_sequence=2)
    Stage.objects.filter(unit=unit, code="S0").update(state="signed")
    recorded(unit, "ID.VIN", inspector, photos=[photo], base_sequence=3)
    words = " ".join(exceptions(unit))
    assert "ID.VIN: entry 1 with photos was taken back." in words
    assert "entry 4 by Ines Elm came after a signature" in words


def test_exceptions_name_own_work_checked_by_a_sole_trader(unit, owner):
    Shop.objects.update(sole_trader=True)
    Stage.objects.filter(unit=unit, code="S3").update(state="working")
    start_work(stage=unit.stages.get(code="S3"), by=owner)
    recorded(unit, "WATER", owner, photos=[card("Water", "SR-4", owner)])
    assert "WATER: checked by Olga Fir, who took part in the work." in exceptions(unit)


def test_exceptions_of_one_stage_leave_the_others_out(unit):
    inspector = make_person("ivo", "inspector", first="Ivo", last="Holm")
    recorded(unit, "ROAD", inspector, "na", reason="x")
    assert exceptions(unit, unit.stages.get(code="S0")) == []
    assert exceptions(unit, unit.stages.get(code="S13")) != []
