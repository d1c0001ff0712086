import pytest
from django.urls import reverse

from jobs.intake.arrival.standing import WALK
from jobs.models import ConditionPhoto, Photo, Unit
from jobs.photos.tasks import drain_photos
from tests import pictures
from tests.factories import VIN, make_job, make_unit
from tests.form_data import form_data

HTMX = {"HX-Request": "true"}
READINGS = {"odometer_mi": 12, "keys": 2, "fuel_percent": 75}


def text(answer):
    return answer.content.decode()


@pytest.fixture
def unit(db):
    return make_unit(number="SR-4", vin=VIN)


@pytest.fixture
def url(unit):
    def address(name, *args):
        return reverse(f"jobs:{name}", args=[unit.job.number, unit.number, *args])

    return address


@pytest.fixture
def bay(client, technician):
    client.force_login(technician)
    return client


def shoot(client, url, view="front", headers=None, name="a.jpg", data=None):
    picture = pictures.upload(name, pictures.jpeg(view) if data is None else data)
    typed = {"view": view, "photos": [picture]}
    return client.post(url("arrival_walk"), typed, headers=headers or {})


def test_a_whole_check_in_from_plate_to_report(bay, url, unit):
    page = bay.get(url("arrival_readings"))
    typed = {**READINGS, "plate": "TS000417", "condition": "Stone chip\non the bonnet"}
    assert bay.post(url("arrival_readings"), form_data(page, **typed)).url == url("unit_arrival")
    for view in WALK:
        assert shoot(bay, url, view).status_code == 302
    page = bay.get(url("unit_arrival"))
    assert "Accept vehicle" in text(page)
    data = form_data(page, handed_over_by="Ilse Marrow")
    assert bay.post(url("arrival_accept"), data).status_code == 302
    page = text(bay.get(url("unit_arrival")))
    assert "by Tess Cedar from Ilse Marrow" in page
    drain_photos()
    report = text(bay.get(url("arrival_report")))
    for words in (VIN, "12 mi", "75 %", "Stone chip<br>on the bonnet", "Ilse Marrow", "Tess Cedar"):
        assert words in report
    assert report.count("<img") == 8


def test_the_way_on_is_named_step_by_step(bay, url, unit):
    assert "Read the vehicle" in text(bay.get(url("unit_arrival")))
    Unit.objects.update(**READINGS)
    assert "Take photos" in text(bay.get(url("unit_arrival")))


def test_a_photo_with_htmx_answers_the_tiles(bay, url):
    answer = shoot(bay, url, headers=HTMX)
    assert answer.status_code == 200
    assert text(answer).strip().startswith('<div id="walk"')
    assert "7 of 8 views left" in text(answer)


@pytest.mark.parametrize("headers", [{}, HTMX])
@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("a.jpg", b"x" * 200, "is not an image"),
        ("a.jpg", b"", "is 0 bytes; at least 64"),
        ("a.gif", pictures.animated("GIF"), "is not an image"),
        ("a.png", pictures.jpeg(), "its name must end in .jpg"),
    ],
)
def test_what_is_no_photo_is_refused_at_its_view(bay, url, headers, name, data, words):
    answer = shoot(bay, url, headers=headers, name=name, data=data)
    assert answer.status_code == 422
    assert words in text(answer)
    assert not Photo.objects.exists()


def test_no_photo_and_no_view_are_refused(bay, url):
    assert bay.post(url("arrival_walk"), {"view": "front"}).status_code == 422
    assert shoot(bay, url, view="underneath").status_code == 422
    assert not ConditionPhoto.objects.exists()


def test_the_same_photo_twice_is_one(bay, url):
    shoot(bay, url)
    shoot(bay, url)
    assert ConditionPhoto.objects.count() == 1


def test_a_photo_is_taken_out_before_acceptance(bay, url):
    shoot(bay, url)
    taken = ConditionPhoto.objects.get()
    remove = url("arrival_photo_remove", taken.pk)
    assert bay.get(remove).status_code == 405
    assert bay.post(remove).status_code == 302
    assert bay.post(remove).status_code == 404


def test_accepting_too_early_names_what_is_missing(bay, url):
    answer = bay.post(url("arrival_accept"), {"handed_over_by": "Ilse Marrow"})
    assert answer.status_code == 422
    assert "No photo yet: Front" in text(answer)
    assert Unit.objects.get().arrived_at is None


def test_accepting_without_or_with_the_same_name_is_refused(bay, url, unit, technician):
    Unit.objects.update(**READINGS)
    for view in WALK:
        shoot(bay, url, view)
    for name in ("", "Tess Cedar"):
        assert bay.post(url("arrival_accept"), {"handed_over_by": name}).status_code == 422
    accept = {"handed_over_by": "Ilse Marrow"}
    assert bay.post(url("arrival_accept"), accept).status_code == 302
    again = bay.post(url("arrival_accept"), accept)
    assert again.status_code == 422
    assert "Its check-in is closed." in text(again)
    assert shoot(bay, url, "damage").status_code == 422


def test_two_tablets_read_the_same_vehicle_and_the_second_sees_both(bay, url):
    page = bay.get(url("arrival_readings"))
    bay.post(url("arrival_readings"), form_data(page, **READINGS, plate="TS000417"))
    other = form_data(page, **{**READINGS, "keys": 3}, plate="TS000417")
    answer = bay.post(url("arrival_readings"), other)
    assert answer.status_code == 409
    assert "Keys handed over" in text(answer)


def test_opening_again_is_for_the_manager_and_wants_a_reason(client, bay, url, manager):
    assert bay.post(url("arrival_reopen"), {"reason": "Wrong van"}).status_code == 403
    client.force_login(manager)
    assert client.post(url("arrival_reopen")).status_code == 422
    answer = client.post(url("arrival_reopen"), {"reason": "Wrong van"}, follow=True)
    assert "is open already" in text(answer)


def test_a_designer_looks_on(client, designer, url):
    client.force_login(designer)
    page = client.get(url("unit_arrival"))
    assert page.status_code == 200
    assert "Read the vehicle" not in text(page)
    assert client.get(url("arrival_walk")).status_code == 403
    assert client.post(url("arrival_accept")).status_code == 403


@pytest.mark.parametrize(
    "name", ["unit_arrival", "arrival_readings", "arrival_walk", "arrival_report"]
)
def test_an_unknown_unit_is_not_found(bay, name):
    address = reverse(f"jobs:{name}", args=[make_job().number, "SR-9"])
    assert bay.get(address).status_code == 404
