import pytest
from django.urls import reverse

from inspections.checklists.actions import record_result
from inspections.checklists.generate import generate_checks
from inspections.evidence.verify import verify_unit
from inspections.models import Instrument
from jobs.models import Unit
from tests.factories import make_instrument, make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def meter(manager, inspector):
    """An instrument that gave one recorded reading."""
    unit = make_working_unit(by=manager, number="SR-4", keyoff_baseline_ua=28_000)
    generate_checks(unit=unit, by=manager)
    meter = make_instrument()
    record_result(
        check=unit.checks.get(ref="KEYOFF"),
        by=inspector,
        reading=reading("pass", "40", instrument=meter),
    )
    return meter


def edit(client, meter, **fields):
    url = reverse("inspections:instrument_edit", args=[meter.pk])
    return client.post(url, {"asset": meter.asset, "name": meter.name, **fields})


def test_instrument_edit_keeps_the_number_of_recorded_readings(client, inspector, meter):
    client.force_login(inspector)
    response = edit(client, meter, asset="DM-9")
    assert response.status_code == 422
    assert "DM-2 stands beside recorded readings" in response.content.decode()
    assert Instrument.objects.get().asset == "DM-2"


def test_instrument_edit_changes_what_no_reading_depends_on(client, inspector, meter):
    client.force_login(inspector)
    edit(client, meter, name="Clamp meter", retired="on")
    meter.refresh_from_db()
    assert (meter.name, meter.retired) == ("Clamp meter", True)
    assert verify_unit(Unit.objects.get()) is None


def test_instrument_edit_renumbers_an_unused_one(client, inspector, shop):
    client.force_login(inspector)
    edit(client, make_instrument(), asset="DM-9")
    assert Instrument.objects.get().asset == "DM-9"


def test_instrument_edit_is_not_for_technicians(client, technician, meter):
    client.force_login(technician)
    assert edit(client, meter).status_code == 403


def test_instrument_edit_of_an_unknown_one_is_not_found(client, inspector, shop):
    client.force_login(inspector)
    url = reverse("inspections:instrument_edit", args=[999])
    assert client.get(url).status_code == 404
