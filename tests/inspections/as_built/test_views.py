import pytest
from django.urls import reverse

from inspections.as_built.actions import add_place
from inspections.models import Origin, Place, PlacePhoto
from tests.factories import make_unit, make_wired_job
from tests.pictures import saved, test_card, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    return make_unit(job=make_wired_job(), number="SR-4")


def url(name, unit, *args):
    return reverse(f"inspections:{name}", args=[unit.job.number, unit.number, *args])


def place(unit, by, **fields):
    plain = {"kind": "connector", "ref": "X1", "name": "Roof", "zone": "roof", "where": "Left"}
    return add_place(unit=unit, by=by, **{**plain, "hidden": False, **fields})


def typed(**fields):
    plain = {"kind": "ground", "ref": "G1", "name": "Stud", "zone": "body", "where": "Left panel"}
    return {**plain, **fields}


def test_place_new_adds_it_once(client, technician, unit):
    client.force_login(technician)
    circuit = unit.job.circuits.get()
    data = typed(circuits=[circuit.pk])
    assert client.post(url("place_new", unit), data).status_code == 302
    again = client.post(url("place_new", unit), data)
    assert again.status_code == 422
    assert "G1 is on this unit already" in again.content.decode()
    assert list(Place.objects.get().circuits.all()) == [circuit]


@pytest.mark.parametrize("ref", ["", "a/b", "new", "../x", "<b>"])
def test_place_new_refuses_a_designation_that_no_address_can_hold(client, technician, unit, ref):
    client.force_login(technician)
    assert client.post(url("place_new", unit), typed(ref=ref)).status_code == 422
    assert not Place.objects.exists()


def test_place_new_refuses_a_circuit_of_another_job(client, technician, unit):
    client.force_login(technician)
    stranger = make_wired_job().circuits.get()
    assert client.post(url("place_new", unit), typed(circuits=[stranger.pk])).status_code == 422


def test_place_photos_are_kept_and_shown_to_the_customer_only_by_a_manager(
    client, technician, manager, unit
):
    row = place(unit, technician)
    client.force_login(technician)
    data = {"photos": upload("a.jpg", saved(test_card())), "caption": "Before the trim"}
    assert client.post(url("place_photos", unit, row.ref), data).status_code == 302
    photo = PlacePhoto.objects.get()
    assert not photo.for_customer
    path = url("place_photo_show", unit, row.ref, photo.pk)
    assert client.post(path, {"shown": "yes"}).status_code == 403
    client.force_login(manager)
    assert client.post(path, {"shown": "yes"}).status_code == 302
    photo.refresh_from_db()
    assert photo.for_customer


def test_place_photos_that_are_none_are_refused(client, technician, unit):
    row = place(unit, technician)
    client.force_login(technician)
    data = {"photos": upload("a.jpg", b"GIF89a"), "caption": "X"}
    assert client.post(url("place_photos", unit, row.ref), data).status_code == 422


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("1; A-01", "has 2 parts; it must have 3 or 4"),
        ("1; Z-9; Horn", "circuit Z-9 is not on this job"),
        ("1; -; Horn\n1; -; Horn", "pin 1 is twice"),
        ("; -; Horn", "needs a pin and a function"),
        ("1234567; -; Horn", "number has 7 letters; at most 6"),
    ],
)
def test_place_pins_name_line_and_limit(client, technician, unit, table, words):
    row = place(unit, technician)
    client.force_login(technician)
    answer = client.post(url("place_pins", unit, row.ref), {"table": table})
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert row.pins.count() == 0


def test_place_pins_replace_the_table_in_order(client, technician, unit):
    row = place(unit, technician)
    client.force_login(technician)
    for table in ("1; A-01; Old", "2; A-01; Supply; 12 pink\n1; -; Spare"):
        client.post(url("place_pins", unit, row.ref), {"table": table})
    assert [(pin.number, pin.function) for pin in row.pins.all()] == [
        ("2", "Supply"),
        ("1", "Spare"),
    ]


def test_origin_new_wants_a_line_for_a_lot(client, technician, unit):
    client.force_login(technician)
    data = {"kind": "lot", "value": "GR-1", "on": "2026-01-02"}
    answer = client.post(url("origin_new", unit), data)
    assert answer.status_code == 422
    assert "choose its build line" in answer.content.decode()
    data["line"] = unit.job.lines.get().pk
    assert client.post(url("origin_new", unit), data).status_code == 302
    assert Origin.objects.get().recorded_by == "Tess Cedar"
    future = {"kind": "crimp", "value": "CT-3", "on": "2099-01-02"}
    assert client.post(url("origin_new", unit), future).status_code == 422


def test_sheet_print_of_an_unknown_kind_is_not_found(client, technician, unit):
    client.force_login(technician)
    assert client.post(url("sheet_print", unit, "nothing")).status_code == 404
    assert client.get(url("sheet_status", unit, "qr")).status_code == 404
    assert client.post(url("sheet_print", unit, "qr")).status_code == 302
    assert client.get(url("sheet_status", unit, "qr")).status_code == 200
    assert client.get(url("sheet_file", unit, "qr")).status_code == 404
    assert "Waiting for the worker" in client.get(url("sheet_list", unit)).content.decode()
