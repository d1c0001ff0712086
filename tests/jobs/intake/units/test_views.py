import pytest
from django.urls import reverse

from jobs.models import AuditEvent, Unit
from tests.factories import VIN, make_job, make_unit
from tests.form_data import form_data


@pytest.fixture
def desk(client, manager):
    client.force_login(manager)
    return client


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


def text(answer):
    return answer.content.decode()


def test_unit_list_on_a_new_job_says_what_to_do(desk):
    assert "No unit yet" in text(desk.get(url("unit_list", make_job().number)))


def test_unit_new_adds_a_unit(desk):
    job = make_job()
    answer = desk.post(url("unit_new", job.number), {"number": "SR-4", "vin": VIN})
    assert answer.url == url("unit_detail", job.number, "SR-4")
    page = text(desk.get(answer.url))
    assert VIN in page
    assert "2026" in page
    assert AuditEvent.objects.get().sentence == f"Added unit SR-4, VIN {VIN}."


def test_unit_new_twice_makes_one(desk):
    job = make_job()
    desk.post(url("unit_new", job.number), {"number": "SR-4"})
    assert desk.post(url("unit_new", job.number), {"number": "SR-4"}).status_code == 422
    assert Unit.objects.count() == 1


def test_unit_new_shows_the_check_again_with_what_was_typed(desk):
    job = make_job()
    typed = {"number": "SR-4", "vin": "1G4AH59H55G118341", "gvwr_g": "11030"}
    answer = desk.post(url("unit_new", job.number), typed)
    assert answer.status_code == 422
    page = text(answer)
    assert "Check digit wrong" in page
    assert 'value="11030"' in page


def test_unit_edit_round_trip_changes_nothing(desk):
    unit = make_unit(vin=VIN, gvwr_g="5003123.841", alternator_rating_ma=250_500)
    edit = url("unit_edit", unit.job.number, unit.number)
    assert desk.post(edit, form_data(desk.get(edit))).status_code == 302
    assert not AuditEvent.objects.exists()


def test_unit_edit_by_two_people_shows_both_weights(desk):
    unit = make_unit()
    edit = url("unit_edit", unit.job.number, unit.number)
    page = desk.get(edit)
    assert desk.post(edit, form_data(page, gvwr_g="11030")).status_code == 302
    answer = desk.post(edit, form_data(page, gvwr_g="11050", battery_mah="95"))
    assert answer.status_code == 409
    assert "<td>11030</td>" in text(answer)
    assert "<td>11050</td>" in text(answer)
    assert desk.post(edit, form_data(answer)).status_code == 302
    unit.refresh_from_db()
    assert (unit.battery_mah, unit.version) == (95_000, 2)


def test_unit_remove_leads_back_to_the_list(desk):
    unit = make_unit()
    remove = url("unit_remove", unit.job.number, unit.number)
    assert desk.get(remove).status_code == 405
    assert desk.post(remove).url == url("unit_list", unit.job.number)
    assert desk.post(remove).status_code == 404


def test_unit_detail_names_other_jobs_of_the_same_vehicle(desk):
    old = make_unit(vin=VIN, number="OLD")
    unit = make_unit(vin=VIN)
    page = text(desk.get(url("unit_detail", unit.job.number, unit.number)))
    assert url("unit_detail", old.job.number, "OLD") in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", ""),
        ("0DEVN4HB7", "8 more characters to go."),
        ("0DEVN4HB7TS00041O", "character 17 is O"),
        (VIN, "Check digit right"),
        ("1G4AH59H55G118341", "is 5; the other characters give 4"),
        (VIN + "1", "has 18 characters"),
    ],
)
def test_vin_check_answers_while_typing(desk, typed, words):
    answer = desk.get(url("vin_check"), {"vin": typed}, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert words in text(answer)
    assert bool(text(answer).strip()) == bool(words)


@pytest.mark.parametrize("name", ["unit_detail", "unit_edit"])
def test_a_unit_of_another_job_is_not_found(desk, name):
    unit = make_unit()
    assert desk.get(url(name, make_job().number, unit.number)).status_code == 404


def test_a_technician_may_look_but_not_change(client, technician):
    unit = make_unit()
    client.force_login(technician)
    page = client.get(url("unit_detail", unit.job.number, unit.number))
    assert "Edit unit" not in text(page)
    assert client.post(url("unit_edit", unit.job.number, unit.number)).status_code == 403
    assert client.post(url("unit_remove", unit.job.number, unit.number)).status_code == 403
