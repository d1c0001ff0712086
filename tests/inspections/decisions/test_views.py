import pytest
from django.urls import reverse

from inspections.checklists.generate import generate_checks
from inspections.defects.actions import record_check
from tests.factories import make_working_unit, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    generate_checks(unit=unit, by=manager)
    return unit


@pytest.fixture
def disputed(unit, technician, other_technician):
    check = unit.checks.get(ref="ROAD")
    record_check(check=check, by=technician, reading=reading(device="Tablet 1"))
    record_check(check=check, by=other_technician, reading=reading("fail", reason="Rattle"))
    return check


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def test_decision_list_shows_both_answers(client, technician, unit, disputed):
    client.force_login(technician)
    page = client.get(url("decision_list", unit)).content.decode()
    assert "Tess Cedar" in page
    assert "Theo Dogwood" in page
    assert "Tablet 1" in page
    assert "Decide ROAD" not in page


def test_decision_list_of_an_undisputed_unit_says_so(client, inspector, unit):
    client.force_login(inspector)
    assert "Nothing waits for a decision" in client.get(url("decision_list", unit)).content.decode()


def test_check_decide_records_who_and_why(client, inspector, unit, disputed):
    client.force_login(inspector)
    address = url("check_decide", unit, "ROAD")
    assert client.get(address).status_code == 200
    data = {"keeps": "1", "seen": "2", "reason": "Driven again"}
    assert client.post(address, data).status_code == 302
    page = client.get(url("decision_list", unit)).content.decode()
    assert "Driven again" in page
    assert "Ines Elm" in page
    assert client.post(address, data).status_code == 302  # a second click changes nothing
    assert unit.results.count() == 3


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"keeps": "1", "seen": "2", "reason": ""}, "needs a value"),
        ({"keeps": "9", "seen": "2", "reason": "x"}, "9 is not one of the available choices"),
        ({"keeps": "1", "seen": "1", "reason": "x"}, "recorded on ROAD meanwhile"),
        ({"keeps": "1", "seen": "99999999999999", "reason": "x"}, "less than or equal"),
        ({}, "needs a value"),
    ],
)
def test_check_decide_refuses_what_does_not_fit(client, inspector, unit, disputed, data, words):
    client.force_login(inspector)
    answer = client.post(url("check_decide", unit, "ROAD"), data)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert unit.results.count() == 2


def test_check_decide_of_an_undisputed_check_is_not_found(client, inspector, unit):
    client.force_login(inspector)
    assert client.get(url("check_decide", unit, "ROAD")).status_code == 404
    assert client.get(url("check_decide", unit, "NONE")).status_code == 404


def test_check_decide_is_not_for_technicians(client, technician, unit, disputed):
    client.force_login(technician)
    assert client.get(url("check_decide", unit, "ROAD")).status_code == 403
