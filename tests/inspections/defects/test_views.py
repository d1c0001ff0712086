import pytest
from django.urls import reverse

from inspections.checklists.generate import generate_checks
from inspections.defects.actions import record_check
from inspections.models import Defect
from tests.factories import make_working_unit, reading

pytestmark = pytest.mark.django_db
DESCRIBED = {
    "cause": "workmanship", "cause_text": "Loose screw", "containment": "All others checked",
    "disposition": "rework", "rework_text": "Tightened",
}  # fmt: skip


@pytest.fixture
def defect(manager, inspector):
    unit = make_working_unit(by=manager, number="SR-4")
    generate_checks(unit=unit, by=manager)
    _, defect = record_check(
        check=unit.checks.get(ref="ROAD"), by=inspector, reading=reading("fail", reason="Rattle")
    )
    return defect


def url(name, defect, *args):
    return reverse(f"inspections:{name}", args=[defect.unit.job.number, "SR-4", *args])


def test_defect_list_shows_found_and_state(client, technician, defect):
    client.force_login(technician)
    page = client.get(url("defect_list", defect)).content.decode()
    assert "NCR-01" in page
    assert "Rattle" in page


def test_defect_detail_describes_then_reworks(client, technician, defect):
    client.force_login(technician)
    client.post(url("defect_detail", defect, 1), {**DESCRIBED, "version": "0"})
    client.post(url("defect_rework", defect, 1), {})
    defect.refresh_from_db()
    assert (defect.state, defect.reworked_by) == ("reworked", technician)


def test_defect_rework_before_the_description_says_what_is_missing(client, technician, defect):
    client.force_login(technician)
    response = client.post(url("defect_rework", defect, 1), {})
    assert response.status_code == 422
    assert "still needs: the cause" in response.content.decode()


def test_defect_detail_after_somebody_else_keeps_both_texts(client, technician, defect):
    Defect.objects.update(version=4, cause_text="Theirs")
    client.force_login(technician)
    response = client.post(
        url("defect_detail", defect, 1), {**DESCRIBED, "cause_text": "Mine", "version": "0"}
    )
    assert response.status_code == 409
    assert "Mine" in response.content.decode()
    assert Defect.objects.get().cause_text == "Theirs"


def test_defect_concede_is_for_managers_with_a_name(client, technician, manager, defect):
    client.force_login(technician)
    assert client.post(url("defect_concede", defect, 1), {}).status_code == 403
    client.force_login(manager)
    assert client.post(url("defect_concede", defect, 1), {}).status_code == 422
    client.post(url("defect_concede", defect, 1), {"customer": "Ilse Marrow", "reason": "Fine"})
    assert Defect.objects.get().concession_by == "Ilse Marrow"


def test_defect_detail_unknown_number_is_not_found(client, technician, defect):
    client.force_login(technician)
    assert client.get(url("defect_detail", defect, 99)).status_code == 404


@pytest.mark.parametrize("version", ["", "x", "²", "-1", "9" * 30, "9" * 5000])
def test_defect_detail_with_an_odd_version_changes_nothing(client, technician, defect, version):
    client.force_login(technician)
    response = client.post(url("defect_detail", defect, 1), {**DESCRIBED, "version": version})
    assert response.status_code == 409
    assert Defect.objects.get().cause_text == ""


@pytest.mark.parametrize("key", ["9223372036854775808", "x", "-1"])
def test_defect_rework_with_a_check_that_cannot_be_is_refused(client, technician, defect, key):
    client.force_login(technician)
    client.post(url("defect_detail", defect, 1), {**DESCRIBED, "version": "0"})
    response = client.post(url("defect_rework", defect, 1), {"retest": key})
    assert response.status_code == 422
    assert Defect.objects.get().state == "open"
