import pytest
from django.urls import reverse

from inspections.models import Release
from jobs.models import Hold, Job
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db
PASSPHRASE = "a long test phrase"


@pytest.fixture
def unit(manager, inspector):
    unit = make_working_unit(by=manager, number="SR-4")
    unit.stages.update(state="finished")
    Hold.objects.update(released_at=unit.job.created_at, released_by=inspector)
    Job.objects.filter(pk=unit.job_id).update(state="building")
    return unit


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def one_passed_check(unit):
    stage = unit.stages.get(code="S13")
    unit.checks.create(
        stage=stage, ref="ROAD", key="road", title="Road", area="Body", kind="visual", state="pass"
    )


def test_release_unit_page_lists_what_blocks_first(client, inspector, unit):
    client.force_login(inspector)
    page = client.get(url("release_unit", unit)).content.decode()
    assert "Keeps the unit from leaving" in page
    assert "No check was made for this unit" in page
    assert "passphrase" not in page


def test_release_unit_needs_the_passphrase_again(client, inspector, unit):
    one_passed_check(unit)
    client.force_login(inspector)
    response = client.post(url("release_unit", unit), {"passphrase": "wrong"})
    assert response.status_code == 422
    assert "This is not your passphrase. Nothing was signed." in response.content.decode()
    assert not Release.objects.exists()


def test_release_unit_signs_once_for_a_double_click(client, inspector, unit):
    one_passed_check(unit)
    client.force_login(inspector)
    first = client.post(url("release_unit", unit), {"passphrase": PASSPHRASE})
    second = client.post(url("release_unit", unit), {"passphrase": PASSPHRASE})
    assert (first.status_code, second.status_code) == (302, 422)
    assert Release.objects.count() == 1


def test_release_unit_is_for_inspectors(client, technician, manager, unit):
    for person in (technician, manager):
        client.force_login(person)
        assert client.get(url("release_unit", unit)).status_code == 403


def test_stage_sign_needs_the_passphrase_and_a_stage(client, inspector, unit):
    client.force_login(inspector)
    assert client.get(url("stage_sign", unit, "S99")).status_code == 404
    assert client.post(url("stage_sign", unit, "S0"), {"passphrase": "no"}).status_code == 422
    client.post(url("stage_sign", unit, "S0"), {"passphrase": PASSPHRASE})
    assert unit.stages.get(code="S0").state == "signed"


def test_who_signed_is_not_named_among_those_who_worked(client, inspector, unit):
    client.force_login(inspector)
    client.post(url("stage_sign", unit, "S0"), {"passphrase": PASSPHRASE})
    page = client.get(url("stage_sign", unit, "S0")).content.decode()
    assert "Worked on by nobody yet" in page


def test_the_fifth_wrong_passphrase_signs_out(client, inspector, unit):
    client.force_login(inspector)
    address = url("release_unit", unit)
    for _ in range(4):
        assert client.post(address, {"passphrase": "wrong"}).status_code == 422
    answer = client.post(address, {"passphrase": "wrong"})
    assert (answer.status_code, answer.url) == (302, reverse("jobs:sign_in"))
    assert client.get(address).status_code == 302
