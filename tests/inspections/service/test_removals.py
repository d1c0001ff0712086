import pytest

from inspections.service.actions import ServiceError
from inspections.service.removals import begin_removal, decide_item, finish_removal
from jobs.models import Serial
from tests.factories import make_furnished_item, make_line, make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    job = make_wired_job()
    agency = make_line(job=job, ref="L38", ownership="agency")
    make_line(job=job, ref="L65", ownership="sublet")
    unit = make_unit(job=job, number="SR-4")
    Serial.objects.create(unit=unit, line=agency, serial="DH-50")
    make_furnished_item(job=job, description="Radio", serial="DH-50")
    make_furnished_item(job=job, description="Handheld", serial="HH-1")
    return unit


@pytest.fixture
def removal(unit, manager):
    return begin_removal(unit=unit, reason="Ten years old", by=manager)


def item(removal, words):
    return removal.items.get(description__contains=words)


def test_begin_removal_lists_each_thing_once_with_its_owner(removal):
    owned = {one.description: one.agency_owned for one in removal.items.all()}
    assert {name[:3]: value for name, value in owned.items()} == {
        "L01": False, "L38": True, "Han": True
    }  # fmt: skip
    assert item(removal, "L38").serials == "DH-50"


def test_a_fitted_thing_of_the_agency_is_known_by_its_name_too(unit, manager):
    base = make_line(job=unit.job, ref="L61", ownership="agency", quantity=4)
    make_furnished_item(
        job=unit.job, description=base.part.description.upper(), serial="HC-11 to HC-14"
    )
    removal = begin_removal(unit=unit, reason="Ten years old", by=manager)
    assert item(removal, "L61").serials == "HC-11 to HC-14"
    assert removal.items.filter(agency_owned=True).count() == 3


def test_begin_removal_twice_is_refused(removal, unit, manager):
    with pytest.raises(ServiceError, match="taken out of service already"):
        begin_removal(unit=unit, reason="Again", by=manager)


@pytest.mark.parametrize("outcome", ["scrap", "reuse"])
def test_agency_equipment_is_neither_scrapped_nor_reused(removal, manager, outcome):
    with pytest.raises(ServiceError, match="belongs to the agency"):
        decide_item(item=item(removal, "L38"), outcome=outcome, by=manager)


def test_decide_item_wants_to_know_who_received_it(removal, manager):
    with pytest.raises(ServiceError, match="Say who received"):
        decide_item(item=item(removal, "L38"), outcome="returned", by=manager)
    decide_item(item=item(removal, "L38"), outcome="returned", received_by="Ilse", by=manager)
    assert item(removal, "L38").received_by == "Ilse"


def test_finish_removal_wants_everything_decided_and_holes_closed(removal, manager):
    with pytest.raises(ServiceError, match="3 things are not decided yet"):
        finish_removal(removal=removal, holes_closed=True, by=manager)
    for one in removal.items.all():
        outcome = "stays" if one.agency_owned else "reuse"
        decide_item(item=one, outcome=outcome, by=manager)
    with pytest.raises(ServiceError, match="plugged and watertight"):
        finish_removal(removal=removal, holes_closed=False, by=manager)
    finish_removal(removal=removal, holes_closed=True, by=manager)
    with pytest.raises(ServiceError, match="finished"):
        decide_item(item=removal.items.first(), outcome="stays", by=manager)
    with pytest.raises(ServiceError, match="finished already"):
        finish_removal(removal=removal, holes_closed=True, by=manager)
