import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import AuditEvent, FurnishedItem
from tests.factories import make_furnished_item, make_job
from tests.form_data import form_data


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


@pytest.fixture
def desk(client, manager):
    client.force_login(manager)
    return client


def test_furnished_list_on_a_new_job_says_what_to_do(desk):
    page = desk.get(url("furnished_list", make_job().number)).content.decode()
    assert "The agency brings nothing so far." in page


def test_an_item_is_expected_changed_and_received(desk, client, technician):
    job = make_job()
    typed = {"description": "Router", "quantity": "1", "needed_for_stage": "S7"}
    assert desk.post(url("furnished_new", job.number), typed).status_code == 302
    item = FurnishedItem.objects.get()
    edit = url("furnished_edit", job.number, item.pk)
    assert desk.post(edit, form_data(desk.get(edit), quantity="2")).status_code == 302
    client.force_login(technician)
    receive = url("furnished_receive", job.number, item.pk)
    page = client.get(receive)
    assert form_data(page)["received_by"] == "Tess Cedar"
    assert client.post(receive, form_data(page, condition="New in box")).status_code == 302
    item.refresh_from_db()
    assert (item.quantity, item.condition, item.arrived_on) == (
        2,
        "New in box",
        timezone.localdate(),
    )
    assert AuditEvent.objects.filter(subject_kind="FurnishedItem").count() == 3


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"quantity": "0"}, "0 is below 1"),
        ({"quantity": "1000"}, "1000 is above 999"),
        ({"needed_for_stage": "stage 7"}, "Type the code of one stage"),
        ({"description": ""}, "needs a value"),
    ],
)
def test_furnished_new_names_what_is_wrong(desk, typed, words):
    data = {"description": "Router", "quantity": "1", **typed}
    answer = desk.post(url("furnished_new", make_job().number), data)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_receiving_tomorrow_is_refused(desk):
    item = make_furnished_item()
    receive = url("furnished_receive", item.job.number, item.pk)
    answer = desk.post(receive, form_data(desk.get(receive), arrived_on="2999-01-01"))
    assert answer.status_code == 422
    assert "1 Jan 2999 is after today" in answer.content.decode()


def test_giving_up_an_item_wants_a_reason_and_happens_once(desk):
    item = make_furnished_item()
    waive = url("furnished_waive", item.job.number, item.pk)
    assert desk.post(waive).status_code == 422
    desk.post(waive, {"waived_reason": "They buy none"})
    answer = desk.post(waive, {"waived_reason": "They buy none"}, follow=True)
    assert "received or given up already" in answer.content.decode()
    assert AuditEvent.objects.count() == 1


def test_an_item_of_another_job_is_not_found(desk):
    item = make_furnished_item()
    for name in ("furnished_edit", "furnished_receive", "furnished_waive"):
        assert desk.get(url(name, make_job().number, item.pk)).status_code == 404


def test_a_technician_receives_but_does_not_give_up(client, technician):
    item = make_furnished_item()
    client.force_login(technician)
    page = client.get(url("furnished_list", item.job.number)).content.decode()
    assert "Receive" in page
    assert "Go on without" not in page
    assert client.post(url("furnished_waive", item.job.number, item.pk)).status_code == 403
