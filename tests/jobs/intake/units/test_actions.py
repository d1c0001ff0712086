import pytest
from django.utils import timezone

from jobs.intake.errors import IntakeError
from jobs.intake.units import actions
from jobs.models import AuditEvent, Stage, Unit, WorkEvent
from tests.factories import VIN, make_job, make_unit


def test_add_unit_tells_why_a_wrong_vin_was_kept(manager):
    values = {"number": "SR-4", "vin": "1G4AH59H55G118341", "vin_reason": "Made in Europe"}
    actions.add_unit(job=make_job(), values=values, by=manager)
    sentence = AuditEvent.objects.get().sentence
    assert (
        "VIN 1G4AH59H55G118341, kept with a wrong check digit because: Made in Europe" in sentence
    )


@pytest.mark.parametrize("field", ["number", "vin"])
def test_add_unit_that_somebody_added_meanwhile_says_so(manager, field):
    job = make_job()
    make_unit(job=job, number="SR-4", vin=VIN)
    values = {"number": "SR-5", "vin": "", field: "SR-4" if field == "number" else VIN}
    with pytest.raises(IntakeError, match="already"):
        actions.add_unit(job=job, values=values, by=manager)
    assert Unit.objects.count() == 1


def test_change_unit_to_a_number_taken_meanwhile_says_so(manager):
    job = make_job()
    make_unit(job=job, number="SR-4")
    unit = make_unit(job=job, number="SR-5")
    with pytest.raises(IntakeError, match="unit SR-4"):
        actions.change_unit(unit=unit, version=0, values={"number": "SR-4", "vin": ""}, by=manager)


def test_remove_unit_works_once_for_a_unit_nothing_happened_to(manager):
    unit = make_unit()
    actions.remove_unit(unit=unit, by=manager)
    actions.remove_unit(unit=unit, by=manager)
    assert not Unit.objects.exists()
    assert AuditEvent.objects.filter(verb="removed").count() == 1


def test_remove_unit_refuses_when_it_arrived_or_was_worked_on(manager, technician):
    here = make_unit(arrived_at=timezone.now(), accepted_by=manager)
    with pytest.raises(IntakeError, match="has arrived"):
        actions.remove_unit(unit=here, by=manager)
    worked = make_unit()
    stage = Stage.objects.create(unit=worked, code="S1", name="Strip", position=1)
    WorkEvent.objects.create(stage=stage, kind="start", person=technician, at=timezone.now())
    with pytest.raises(IntakeError, match="work or checks on record"):
        actions.remove_unit(unit=worked, by=manager)
    assert Unit.objects.count() == 2
