import pytest
from django.urls import reverse

from inspections.models import Case
from inspections.service.actions import open_case
from inspections.service.removals import begin_removal
from tests.factories import make_unit, make_wired_job

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    return make_unit(job=make_wired_job(), number="SR-4")


@pytest.fixture
def case(unit, technician):
    return open_case(unit=unit, by=technician, symptom="Heads stay dark", on="2026-03-01")


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def test_case_list_opens_a_case(client, technician, unit):
    client.force_login(technician)
    data = {"symptom": "Heads stay dark", "on": "2026-03-01", "odometer_mi": "412"}
    assert client.post(url("case_list", unit), data).status_code == 302
    assert Case.objects.get().odometer_mi == 412


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"symptom": ""}, "needs a value"),
        ({"on": "2099-01-01"}, "2099-01-01 is in the future"),
        ({"odometer_mi": "1000000"}, "at most 999,999 mi"),
        ({"odometer_mi": "-1"}, "greater than or equal to 0"),
        ({"circuit": "999999"}, "not one of the available"),
    ],
)
def test_case_list_keeps_what_was_typed_and_says_what_is_wrong(
    client, technician, unit, fields, words
):
    client.force_login(technician)
    data = {"symptom": "Heads stay dark", "on": "2026-03-01", "conditions": "Cold", **fields}
    answer = client.post(url("case_list", unit), data)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert "Cold" in answer.content.decode()
    assert not Case.objects.exists()


def finding(**fields):
    plain = {"found": "Fuse", "cause": "wear", "done": "New fuse", "minutes": "1.25"}
    return {**plain, "travel_minutes": "0", "claim": "none", "version": "0", **fields}


def test_case_write_stores_hours_as_minutes_and_refuses_a_second_old_page(
    client, technician, unit, case
):
    client.force_login(technician)
    path = url("case_write", unit, case.number)
    assert client.post(path, finding()).status_code == 302
    assert Case.objects.get().minutes == 75
    late = client.post(path, finding(found="My own words"))
    assert late.status_code == 409
    assert "My own words" in late.content.decode()
    assert client.post(path, finding(version="1", minutes="300")).status_code == 422


def test_case_change_says_value_and_limit(client, technician, unit, case):
    client.force_login(technician)
    data = {"circuit": unit.job.circuits.get().pk, "what": "device", "value": "900", "reason": "R"}
    answer = client.post(url("case_change", unit, case.number), data)
    assert answer.status_code == 422
    assert "at most 600 A" in answer.content.decode()
    data["value"] = "15"
    assert client.post(url("case_change", unit, case.number), data).status_code == 302
    assert "was 10 A, is 15 A" in client.get(url("as_built_circuit", unit, "A-01")).content.decode()


def test_case_close_and_unknown_cases(client, technician, unit, case):
    client.force_login(technician)
    assert client.get(url("case_detail", unit, 99)).status_code == 404
    assert client.get(url("case_close", unit, case.number)).status_code == 405
    answer = client.post(url("case_close", unit, case.number), follow=True)
    assert "write down found, done, cause first" in answer.content.decode()


def test_service_finds_units_or_says_what_to_fill_in(client, technician, unit):
    client.force_login(technician)
    code = unit.job.lines.get().part.part.code
    assert unit.number in client.get("/service/", {"part": code}).content.decode()
    assert "0 units found" in client.get("/service/", {"part": "none"}).content.decode()
    assert client.get("/service/", {"day": "yesterday"}).status_code == 422
    assert client.get("/service/", {"part": ""}).status_code == 422
    assert client.get("/service/", {"page": "2"}).status_code == 200


def test_removal_is_begun_and_finished_by_a_manager(client, technician, manager, unit):
    client.force_login(technician)
    assert client.post(url("removal_begin", unit), {"reason": "Old"}).status_code == 403
    client.force_login(manager)
    assert client.post(url("removal_begin", unit), {"reason": ""}).status_code == 422
    assert client.post(url("removal_begin", unit), {"reason": "Old"}).status_code == 302
    assert client.post(url("removal_begin", unit), {"reason": "Old"}).status_code == 422
    assert client.post(url("removal_finish", unit)).status_code == 422
    assert "1 thing not decided yet" in client.get(url("removal", unit)).content.decode()


def test_removal_item_answers_with_its_limits(client, technician, manager, unit):
    row = begin_removal(unit=unit, reason="Old", by=manager).items.get()
    client.force_login(technician)
    path = url("removal_item", unit, row.pk)
    assert client.get(path).status_code == 200
    assert client.post(path, {"outcome": "returned"}).status_code == 422
    assert client.post(path, {"outcome": "reuse"}).status_code == 302
    assert client.get(url("removal_item", make_unit(), row.pk)).status_code == 404


def test_two_clicks_open_one_case(client, technician, manager, unit):
    data = {"symptom": "Heads stay dark", "on": "2026-03-01", "odometer_mi": "412"}
    client.force_login(technician)
    first, second = (client.post(url("case_list", unit), data) for _ in "ab")
    assert first.url == second.url
    assert Case.objects.count() == 1
    client.force_login(manager)
    assert client.post(url("case_list", unit), data).url != first.url


def test_two_clicks_on_a_part_without_serial_number_count_it_once(client, technician, unit, case):
    client.force_login(technician)
    data = {"line": unit.job.lines.get().pk, "quantity": "2"}
    first, second = (client.post(url("case_swap", unit, case.number), data) for _ in "ab")
    assert (first.status_code, second.status_code) == (302, 422)
    assert "has this already: 2 × L01" in second.content.decode()
    assert case.swaps.count() == 1
