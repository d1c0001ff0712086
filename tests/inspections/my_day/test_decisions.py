import pytest

from inspections.checklists.generate import generate_checks
from inspections.defects.actions import record_check
from inspections.models import Defect
from inspections.my_day.decisions import waiting_decisions
from tests.factories import make_offered_quote, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    generate_checks(unit=unit, by=manager)
    return unit


def test_answers_that_disagree_stand_before_what_the_customer_decides(
    client, unit, manager, technician, other_technician
):
    make_offered_quote(by=manager)
    for ref in ("ROAD", "DOCS"):
        check = unit.checks.get(ref=ref)
        record_check(check=check, by=technician, reading=reading())
        record_check(check=check, by=other_technician, reading=reading("na", reason="x"))
    first, second = waiting_decisions()
    assert (first.sentence, first.ours) == ("2 checks of unit SR-4 with two answers.", True)
    assert second.ours is False
    client.force_login(manager)
    page = client.get("/").content.decode()
    assert first.url in page
    assert client.get(first.url).status_code == 200


def test_a_defect_that_failed_twice_waits_for_the_office(client, unit, manager, inspector):
    _, defect = record_check(
        check=unit.checks.get(ref="ROAD"), by=inspector, reading=reading("fail", reason="Rattle")
    )
    assert waiting_decisions() == []
    Defect.objects.filter(pk=defect.pk).update(escalated=True, failures=2)
    (waiting,) = waiting_decisions()
    assert waiting.sentence == "NCR-01 of unit SR-4 failed 2 times."
    client.force_login(manager)
    assert client.get(waiting.url).status_code == 200
