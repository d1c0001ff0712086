import re

import pytest
from django.urls import reverse

from inspections.checklists.generate import generate_checks
from inspections.handover.actions import build_packet
from inspections.models import Acceptance, Packet
from jobs.intake.links import PACKET, make_link, revoke_link
from jobs.models import AuditEvent, CustomerLink, Document, Unit
from tests.factories import make_working_unit
from tests.inspections.handover.test_actions import released

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(manager):
    unit = make_working_unit(by=manager, number="SR-4")
    generate_checks(unit=unit, by=manager)
    return unit


@pytest.fixture
def link(unit, manager, inspector):
    packet = build_packet(unit=released(unit, inspector), by=manager)
    Document.objects.filter(pk=packet.document_id).update(state="done", page_count=3)
    return make_link(
        job=unit.job, purpose=PACKET, subject_id=unit.pk, sent_to="Edda Quill", by=manager
    )


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def opened(token):
    return reverse("inspections:packet_open", args=[token])


def answer(**fields):
    packet = Packet.objects.get()
    given = {"name": "Edda Quill", "answer": "accepted", "packet_sha256": packet.data_sha256}
    return {**given, **fields}


def test_packet_detail_without_a_packet_says_what_it_is_made_from(client, manager, unit):
    client.force_login(manager)
    page = client.get(url("packet_detail", unit)).content.decode()
    assert "No packet yet. It is made from the job" in page


def test_packet_build_twice_makes_one(client, manager, unit):
    client.force_login(manager)
    client.post(url("packet_build", unit))
    client.post(url("packet_build", unit))
    assert Packet.objects.count() == 1


def test_packet_build_is_not_for_technicians(client, technician, unit):
    client.force_login(technician)
    assert client.post(url("packet_build", unit)).status_code == 403
    assert client.get(url("packet_build", unit)).status_code == 405


def test_packet_file_that_is_not_ready_is_not_found(client, manager, unit):
    build_packet(unit=unit, by=manager)
    client.force_login(manager)
    assert client.get(url("packet_file", unit, 1)).status_code == 404
    assert client.get(url("packet_file", unit, 2)).status_code == 404


def test_receipt_record_of_an_unreleased_unit_says_why_not(client, manager, unit):
    client.force_login(manager)
    data = {"received_by": "T", "odometer_mi": "3", "keys": "2"}
    response = client.post(url("receipt_record", unit), data)
    assert response.status_code == 422
    assert "is not released" in response.content.decode()


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"odometer_mi": "-1"}, "greater than or equal to 0"),
        ({"keys": "99"}, "less than or equal to 50"),
        ({"received_by": ""}, "needs a value"),
    ],
)
def test_receipt_record_names_value_and_limit(client, manager, inspector, unit, fields, words):
    released(unit, inspector)
    client.force_login(manager)
    data = {"received_by": "T", "odometer_mi": "30", "keys": "2", **fields}
    response = client.post(url("receipt_record", unit), data)
    assert response.status_code == 422
    assert words in response.content.decode()


def test_training_record_refuses_a_date_in_the_future(client, manager, unit):
    client.force_login(manager)
    data = {"name": "T", "topics": "Mast", "on": "2099-01-01"}
    response = client.post(url("training_record", unit), data)
    assert response.status_code == 422
    assert "2099-01-01 is in the future" in response.content.decode()


def test_packet_send_shows_the_secret_once(client, manager, unit):
    client.force_login(manager)
    page = client.post(url("packet_send", unit), {"sent_to": "Edda Quill"}).content.decode()
    assert "/p/" in page
    assert "/p/" not in client.get(url("packet_detail", unit)).content.decode()


def test_packet_open_shows_the_packet_without_an_account(client, link):
    response = client.get(opened(link[1]))
    assert response.status_code == 200
    assert response["Referrer-Policy"] == "same-origin"
    assert response["Cache-Control"] == "no-store"
    assert "Accept vehicle" in response.content.decode()


def test_packet_open_get_changes_nothing(client, link):
    for _ in range(3):
        client.get(opened(link[1]))
        client.head(opened(link[1]))
    assert not Acceptance.objects.exists()


def test_packet_open_accepts_with_open_items_and_only_once(client, link):
    data = answer(items="Spare fuses missing\n\nSecond key")
    assert client.post(opened(link[1]), data).status_code == 302
    second = client.post(opened(link[1]), answer(name="Somebody"))
    assert second.status_code == 409
    assert "Edda Quill already accepted" in second.content.decode()
    assert Acceptance.objects.get().ip == "127.0.0.1"
    assert Unit.objects.get().punch_items.count() == 2


@pytest.mark.parametrize(
    ("fields", "status", "words"),
    [
        ({"name": ""}, 422, "needs a value"),
        ({"answer": "rejected"}, 409, "Say why you reject"),
        ({"answer": "maybe"}, 422, "not one of the available choices"),
        ({"packet_sha256": "0" * 64}, 409, "changed since you opened it"),
        ({"items": "x" * 201}, 422, "201 letters; at most 200"),
    ],
)
def test_packet_open_bad_answers_say_what_is_wrong(client, link, fields, status, words):
    response = client.post(opened(link[1]), answer(**fields))
    assert response.status_code == status
    assert words in response.content.decode()
    assert not Acceptance.objects.exists()


def test_packet_open_unknown_expired_and_withdrawn_look_alike(client, link, manager):
    row, token = link
    unknown = client.get(opened("x" * 43))
    revoke_link(link=row, by=manager)
    withdrawn = client.get(opened(token))
    CustomerLink.objects.update(revoked_at=None, expires_at=row.created_at)
    expired = client.get(opened(token))
    assert {unknown.status_code, withdrawn.status_code, expired.status_code} == {404}
    own = rb'value="[A-Za-z0-9]{64}"|/p/[^/]*/'  # form token and the address that was asked for
    pages = {re.sub(own, b"", answer.content) for answer in (unknown, withdrawn, expired)}
    assert len(pages) == 1


def test_packet_link_revoke_twice_says_so_once_done(client, link, unit, manager):
    client.force_login(manager)
    address = url("packet_link_revoke", unit, link[0].pk)
    assert [client.post(address).status_code for _ in range(2)] == [302, 302]
    page = client.get(url("packet_detail", unit)).content.decode()
    assert "is withdrawn already" in page
    assert AuditEvent.objects.filter(verb="withdrew").count() == 1


def test_packet_send_keeps_who_gets_it_on_one_line(client, link, unit, manager):
    client.force_login(manager)
    client.post(url("packet_send", unit), {"sent_to": "Edda\r\nBcc: all"})
    assert CustomerLink.objects.filter(sent_to="Edda Bcc: all").exists()


def test_packet_open_of_a_quote_link_is_not_found(client, unit, manager):
    _, token = make_link(job=unit.job, purpose="quote", subject_id=unit.pk, sent_to="E", by=manager)
    assert client.get(opened(token)).status_code == 404


def test_packet_open_before_release_is_not_ready(client, unit, manager):
    build_packet(unit=unit, by=manager)
    _, token = make_link(job=unit.job, purpose=PACKET, subject_id=unit.pk, sent_to="E", by=manager)
    page = client.get(opened(token)).content.decode()
    assert "Not ready for your answer" in page
    path = reverse("inspections:packet_open_file", args=[token])
    assert client.get(path).status_code == 404


def test_open_items_get_a_person_a_day_and_may_bar_acceptance(client, manager, unit, link):
    client.force_login(manager)
    page = url("item_new", unit)
    bad = client.post(page, {"text": "", "owner": "Kept", "due_on": "soon"})
    assert bad.status_code == 422
    assert "Kept" in bad.content.decode()
    given = {"text": "Left belt", "owner": "Juno", "due_on": "2027-01-04", "safety": "on"}
    assert client.post(page, given).status_code == 302
    assert "A safety item is open: Left belt." in client.get(opened(link[1])).content.decode()
    item = unit.punch_items.get()
    client.post(url("item_edit", unit, item.pk), {**given, "safety": "", "owner": "Dag"})
    told = client.get(opened(link[1])).content.decode()
    assert "Left belt: open; Dag, until 4 Jan 2027" in told
    assert "Do you accept the vehicle?" in told
    client.post(url("item_close", unit, item.pk))
    late = client.post(url("item_edit", unit, item.pk), given)
    assert late.status_code == 422
    assert "This item is done already" in late.content.decode()
    assert AuditEvent.objects.filter(verb="listed").count() == 2


def test_open_items_of_another_unit_are_not_found(client, manager, unit):
    item = make_working_unit(by=manager, number="SR-9").punch_items.create(text="Theirs")
    client.force_login(manager)
    assert client.get(url("item_edit", unit, item.pk)).status_code == 404
