from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from inspections.checklists.actions import CheckError
from inspections.checklists.generate import generate_checks
from inspections.defects import actions
from inspections.defects.actions import DefectError
from inspections.models import Defect, Instrument
from jobs.models import Shop
from tests.factories import make_instrument, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    generate_checks(unit=unit, by=manager)
    return unit


@pytest.fixture
def defect(unit, inspector):
    meter = make_instrument()
    _, defect = actions.record_check(
        check=unit.checks.get(ref="A-01.V"),
        by=inspector,
        reading=reading("pass", "12.1", instrument=meter, reason="Hot joint"),
    )
    return defect


def described(defect, by):
    actions.describe_defect(
        defect=defect, by=by, seen_version=Defect.objects.get(pk=defect.pk).version,
        cause="workmanship", cause_text="Wrong nest", containment="14 others redone",
        disposition="rework", rework_text="New ring",
    )  # fmt: skip
    return Defect.objects.get(pk=defect.pk)


def retest(unit, by, value="13.4"):
    return actions.record_check(
        check=unit.checks.get(ref="A-01.V"),
        by=by,
        reading=reading("pass", value, instrument=Instrument.objects.get(asset="DM-2")),
    )


def test_record_check_opens_a_defect_with_found_and_expected(defect):
    assert str(defect) == "NCR-01"
    assert defect.found == "Found 12.1 V; expected: 13.4 V predicted; at least 13.1 V. Hot joint"


def test_record_check_sent_twice_opens_one_defect(unit, inspector):
    tap = reading("fail", reason="Loose")
    check = unit.checks.get(ref="ROAD")
    first = actions.record_check(check=check, by=inspector, reading=tap)
    again = actions.record_check(check=check, by=inspector, reading=tap)
    assert first[1].pk == again[1].pk
    assert Defect.objects.count() == 1


def test_mark_reworked_names_what_is_still_missing(defect, technician):
    with pytest.raises(DefectError, match="the cause, what else was touched, what was done"):
        actions.mark_reworked(defect=defect, by=technician, retest=[])


def test_mark_reworked_opens_the_check_and_everything_disturbed(unit, defect, technician):
    other = unit.checks.get(ref="A-01.P")
    actions.mark_reworked(defect=described(defect, technician), by=technician, retest=[other])
    other.refresh_from_db()
    defect.check_item.refresh_from_db()
    assert (other.state, defect.check_item.state) == ("again", "again")


def test_record_check_by_the_reworker_is_refused(unit, defect, technician):
    actions.mark_reworked(defect=described(defect, technician), by=technician, retest=[])
    with pytest.raises(CheckError, match="Tess Cedar reworked NCR-01; somebody else"):
        retest(unit, technician)


def test_record_check_passing_again_closes_the_defect(unit, defect, technician, inspector):
    actions.mark_reworked(defect=described(defect, technician), by=technician, retest=[])
    retest(unit, inspector)
    defect.refresh_from_db()
    assert (defect.state, defect.closed_by) == ("closed", inspector)
    assert float(defect.result.value) == 12.1


def test_record_check_failing_again_sends_the_same_defect_back(unit, defect, technician, inspector):
    actions.mark_reworked(defect=described(defect, technician), by=technician, retest=[])
    retest(unit, inspector, "12.0")
    defect.refresh_from_db()
    assert (defect.state, defect.reworked_by) == ("open", None)
    assert Defect.objects.count() == 1


def test_describe_defect_after_somebody_else_is_refused(defect, technician):
    described(defect, technician)
    with pytest.raises(DefectError, match="changed by somebody else"):
        actions.describe_defect(defect=defect, by=technician, seen_version=0, cause="part")


def test_concede_needs_the_customer_and_a_reason(defect, manager):
    with pytest.raises(DefectError, match="customer's name and the reason"):
        actions.concede(defect=defect, by=manager, customer="", reason="fine")
    actions.concede(defect=defect, by=manager, customer="Ilse Marrow", reason="Spare lamp only")
    assert Defect.objects.get().state == "concession"


def test_defect_cannot_be_closed_by_its_reworker_in_the_database(defect, technician):
    defect.reworked_by = defect.closed_by = technician
    defect.reworked_at = defect.closed_at = defect.created_at
    with pytest.raises(IntegrityError), transaction.atomic():
        defect.save()


def test_a_sole_trader_re_checks_own_rework_on_another_day_and_it_is_said(unit, owner):
    Shop.objects.update(sole_trader=True)
    make_instrument()
    retest(unit, owner, "12.1")
    described(Defect.objects.get(), owner)
    actions.mark_reworked(defect=Defect.objects.get(), by=owner, retest=[])
    with pytest.raises(CheckError, match="re-check it on another day"):
        retest(unit, owner)
    Defect.objects.update(reworked_at=timezone.now() - timedelta(days=1))
    retest(unit, owner)
    defect = Defect.objects.get()
    assert (defect.state, defect.closed_alone) == ("closed", True)
    assert unit.results.last().took_part
