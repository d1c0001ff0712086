import re

import pytest
from django.urls import reverse

from inspections.as_built.actions import add_place, add_place_photos
from inspections.as_built.label import label_of
from inspections.service.actions import change_as_built, open_case
from jobs.photos.actions import store_photo
from tests.browser import BAY_TARGET, PHONE, axe, scrolls_sideways, too_small
from tests.factories import VIN, make_unit, make_wired_job
from tests.pictures import saved, test_card, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def unit(shop):
    return make_unit(job=make_wired_job(), number="SR-4", vin=VIN)


def scan(unit):
    return reverse("inspections:as_built_scan", args=[label_of(unit).code])


def circuit_page(unit, ref="A-01"):
    return reverse("inspections:as_built_circuit", args=[unit.job.number, unit.number, ref])


def lowest_volts(page):
    return min(float(volts) for volts in re.findall(r"(\d+\.\d\d) V", page))


def test_as_built_scan_says_nothing_before_sign_in(client, unit):
    path = scan(unit)
    unknown = path.replace(label_of(unit).code, "0" * 12)
    answers = [client.get(one, follow=True) for one in (path, unknown)]
    pages = [
        re.sub(r'value="[^"]*"', "", answer.content.decode()) for answer in answers
    ]  # form token and the address to come back to
    assert pages[0] == pages[1]
    for secret in (unit.number, VIN[-8:], unit.job.number, unit.job.agency.name):
        assert secret not in pages[0]


def test_as_built_scan_of_an_unknown_code_is_not_found(client, technician, unit):
    client.force_login(technician)
    assert client.get(scan(unit)).status_code == 200
    for code in ("0" * 12, "short", "%00"):
        path = reverse("inspections:as_built_scan", args=["x"]).replace("x", code)
        assert client.get(path).status_code == 404
    assert client.post(scan(unit)).status_code == 405


def test_as_built_scan_reads_a_code_as_people_type_it(client, technician, unit):
    code = label_of(unit).code
    typed = "-".join((code[:4], code[4:8], code[8:])).lower().replace("0", "o").replace("1", "l")
    client.force_login(technician)
    path = reverse("inspections:as_built_scan", args=[typed])
    assert unit.number in client.get(path).content.decode()


def test_as_built_circuit_says_place_device_conductor_and_volts(client, technician, unit):
    client.force_login(technician)
    page = client.get(circuit_page(unit)).content.decode()
    for words in ("Left rear panel", "10 A, Blade fuse", "12 AWG", "10 ft", "13.45 V"):
        assert words in page
    assert client.get(circuit_page(unit, "Z-99")).status_code == 404
    other = reverse("inspections:as_built_circuit", args=["J-1", unit.number, "A-01"])
    assert client.get(other).status_code == 404


def test_as_built_circuit_follows_the_vehicle_not_its_papers(client, technician, unit):
    case = open_case(unit=unit, by=technician, symptom="Dim", on="2026-01-02")
    circuit = unit.job.circuits.get()
    client.force_login(technician)
    papers = lowest_volts(client.get(circuit_page(unit)).content.decode())
    change = {"case": case, "circuit": circuit, "by": technician, "reason": "Wire was damaged"}
    change_as_built(what="awg", value="16", **change)
    page = client.get(circuit_page(unit)).content.decode()
    assert "was 12 AWG, is 16 AWG" in page
    assert lowest_volts(page) < papers  # more is lost on the thinner wire
    circuit.refresh_from_db()
    assert circuit.awg == "12"


def test_as_built_circuit_shows_photos_of_its_places_only(client, technician, unit):
    circuit = unit.job.circuits.get()
    fields = {"kind": "ground", "name": "Stud", "zone": "body", "hidden": True}
    ours = add_place(unit=unit, by=technician, circuits=[circuit], ref="G1", where="Left", **fields)
    other = add_place(unit=unit, by=technician, ref="G2", where="Roof", **fields)
    for place, words in ((ours, "Stud before the cover"), (other, "Something else")):
        photos = [store_photo(file=upload("a.jpg", saved(test_card(words))), by=technician)]
        add_place_photos(
            place=place, photos=photos, caption=words, for_customer=False, by=technician
        )
    client.force_login(technician)
    page = client.get(circuit_page(unit)).content.decode()
    assert "Stud before the cover" in page
    assert "Something else" not in page


@pytest.mark.slow
@pytest.mark.browser
def test_two_steps_lead_from_the_label_to_the_circuit(open_as, unit, technician):
    page = open_as(technician, scan(unit), viewport=PHONE)
    page.keyboard.type("grille dark")  # the field has the focus: nothing to press first
    page.keyboard.press("Enter")  # the first interaction
    page.wait_for_url("**q=grille**")
    page.get_by_role("link", name="A-01 Grille heads").click()  # the second
    page.wait_for_url("**/as-built/A-01/")
    assert "Behind the device of A-01" in page.inner_text("main")
    axe(page, bay=True)
    assert not scrolls_sideways(page)
    assert too_small(page, BAY_TARGET) == []
