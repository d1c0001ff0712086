import pytest
from django.urls import reverse

from jobs.models import ChangeOrder
from jobs.quoting.changes import draft_change
from tests.factories import make_approved_quote, make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager)
    make_approved_quote(by=manager, job=unit.job, tax="none")
    return unit


@pytest.fixture
def change(unit, manager):
    return draft_change(job=unit.job, title="Two more heads", reason="customer", by=manager)


def url(name, change, *more):
    return reverse(f"jobs:{name}", args=[change.job.number, change.number, *more])


def test_edits_are_added_shown_and_taken_back(client, manager, change):
    client.force_login(manager)
    typed = {"op": "quantity", "ref": "l01", "quantity": "6", "version": change.version}
    page = client.post(url("change_edit_add", change), typed, follow=True).content.decode()
    assert "6 pieces instead of 4" in page
    assert "Price +$481.88" in page
    twice = client.post(url("change_edit_add", change), typed)
    assert twice.status_code == 409
    change.refresh_from_db()
    assert len(change.edits) == 1
    client.post(url("change_edit_drop", change, 0), {"version": change.version})
    change.refresh_from_db()
    assert (change.edits, change.amount_cents) == ([], 0)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"op": "quantity", "ref": "L99", "quantity": "2"}, "no build line L99"),
        ({"op": "quantity", "ref": "L01"}, "needs it"),
        ({"op": "part", "ref": "L01", "part_code": "NONE"}, "not in the catalog"),
        ({"op": "add", "part_code": "NONE", "quantity": "0"}, "below 1"),
        ({"op": "burn"}, "Select a valid choice"),
    ],
)
def test_odd_edits_come_back_with_a_sentence(client, manager, change, typed, says):
    client.force_login(manager)
    answer = client.post(url("change_edit_add", change), {"version": change.version, **typed})
    assert answer.status_code == 422
    assert says in answer.content.decode()


def test_a_build_sheet_that_moved_on_is_told(client, manager, change):
    client.force_login(manager)
    client.post(
        url("change_edit_add", change),
        {"op": "quantity", "ref": "L01", "quantity": "6", "version": change.version},
    )
    change.job.lines.update(quantity=5)
    page = client.get(url("change_effect", change)).content.decode()
    assert "The build sheet moved on" in page


def test_no_price_for_people_who_see_none(client, technician, change):
    client.force_login(technician)
    assert "$" not in client.get(url("change_effect", change)).content.decode()
    assert client.post(url("change_apply", change)).status_code == 403


def test_a_technician_raises_a_change_in_the_bay(client, technician, unit):
    client.force_login(technician)
    args = [unit.job.number, unit.number, unit.stages.first().code]
    where = reverse("jobs:change_raise", args=args)
    assert client.post(where, {"title": ""}).status_code == 422
    typed = {"title": "Chafed harness", "reason": "discovery", "hold": "on"}
    page = client.post(where, typed, follow=True).content.decode()
    assert "CO-01 is with the office" in page
    assert "Not approved: no hours" in page
    assert ChangeOrder.objects.get().created_by == "Tess Cedar"


def test_a_job_without_an_approved_quote_says_so(client, technician, manager):
    unit = make_working_unit(by=manager)
    client.force_login(technician)
    where = reverse(
        "jobs:change_raise", args=[unit.job.number, unit.number, unit.stages.first().code]
    )
    answer = client.post(where, {"title": "Chafed harness", "reason": "discovery"})
    assert answer.status_code == 422
    assert "No quote of this job is approved yet" in answer.content.decode()
