import pytest
from django.urls import reverse

from config.access import MANAGER, TECHNICIAN
from jobs.models import QuickPin, Shop, Tablet
from jobs.people.tablets import COOKIE, enrol_tablet, revoke_tablet, set_pin
from tests.browser import BAY_TARGET, MODES, TALL, WIDE, axe, too_small
from tests.conftest import make_person
from tests.factories import make_working_unit

pytestmark = pytest.mark.django_db
PIN = "4820"


@pytest.fixture
def tablet(client, manager):
    """The test client as an enrolled tablet on which nobody is signed in."""
    tablet, key = enrol_tablet(name="Bay 1", by=manager)
    client.cookies[COOKIE] = key
    return tablet


@pytest.fixture
def unit(manager):
    return make_working_unit(by=manager, number="SR-4")


def switch(client, person, pin=PIN):
    return client.post(reverse("jobs:tablet_pin", args=[person.pk]), {"pin": pin})


@pytest.fixture
def on_tablet(client, tablet, technician):
    set_pin(person=technician, pin=PIN)
    assert switch(client, technician).status_code == 302
    return client


def test_tablet_enrol_gives_the_device_a_key_no_script_reads(client, manager):
    client.force_login(manager)
    answer = client.post(reverse("jobs:tablet_enrol"), {"name": "Bay 1"})
    cookie = answer.cookies[COOKIE]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Strict")
    assert (
        "This device is the tablet Bay 1"
        in client.get(reverse("jobs:tablet_list")).content.decode()
    )
    assert client.post(reverse("jobs:tablet_enrol"), {"name": "Bay 1"}).status_code == 422
    assert client.post(reverse("jobs:tablet_enrol"), {"name": ""}).status_code == 422


def test_tablet_people_of_an_unknown_device_names_nobody(client, technician):
    set_pin(person=technician, pin=PIN)
    client.cookies[COOKIE] = "guessed"
    page = client.get(reverse("jobs:tablet_people")).content.decode()
    assert "not enrolled" in page
    assert "Tess Cedar" not in page
    assert switch(client, technician).status_code == 404


def test_a_pin_counts_only_on_an_enrolled_tablet(client, technician):
    set_pin(person=technician, pin=PIN)
    assert switch(client, technician).status_code == 404


def test_people_switch_by_pin_and_the_name_stands_on_the_page(
    on_tablet, technician, other_technician, unit
):
    address = reverse("jobs:stage_detail", args=[unit.job.number, "SR-4", "S0"])
    assert "bay-person" in on_tablet.get(address).content.decode()
    set_pin(person=other_technician, pin=PIN)
    page = on_tablet.get(reverse("jobs:tablet_people")).content.decode()
    assert "Tess Cedar (now)" in page
    assert switch(on_tablet, other_technician).status_code == 302
    assert "Theo Dogwood" in on_tablet.get(address).content.decode()


def test_a_wrong_pin_switches_nobody(on_tablet, technician, other_technician):
    set_pin(person=other_technician, pin=PIN)
    answer = switch(on_tablet, other_technician, "1357")
    assert answer.status_code == 422
    assert "This is not the PIN" in answer.content.decode()
    assert int(on_tablet.session["_auth_user_id"]) == technician.pk


@pytest.mark.parametrize("pin", ["", "x" * 500, "\0", "１２３４"])
def test_hostile_pins_are_refused_with_a_sentence(on_tablet, technician, pin):
    assert switch(on_tablet, technician, pin).status_code == 422


def test_the_pin_opens_the_bay(on_tablet, unit):
    number = unit.job.number
    for name, args in (
        ("inspections:my_day", []),
        ("jobs:stage_detail", [number, "SR-4", "S0"]),
        ("inspections:check_list", [number, "SR-4"]),
        ("inspections:outbox", []),
    ):
        assert on_tablet.get(reverse(name, args=args)).status_code == 200, name


def test_withdrawing_a_lost_tablet_ends_its_sessions(on_tablet, tablet, manager):
    assert on_tablet.get("/").status_code == 200
    revoke_tablet(tablet=tablet, by=manager)
    answer = on_tablet.get("/")
    assert answer.status_code == 302 and answer.url.startswith(reverse("jobs:sign_in"))
    assert "_auth_user_id" not in on_tablet.session


@pytest.fixture
def manager_on_tablet(client, tablet, manager, inspector):
    """Somebody who could do everything with a passphrase."""
    manager.groups.add(*inspector.groups.all())
    set_pin(person=manager, pin=PIN)
    assert switch(client, manager).status_code == 302
    return client


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("jobs:people_list", ""),
        ("jobs:shop_settings", ""),
        ("jobs:own_pin", ""),
        ("jobs:own_account", ""),
        ("jobs:tablet_enrol", ""),
        ("catalog:part_list", ""),
        ("jobs:job_list", ""),
        ("jobs:quote_list", "job"),
        ("inspections:release_unit", "unit"),
        ("inspections:stage_sign", "S0"),
        ("jobs:stage_reopen", "S0"),
    ],
)
def test_other_pages_ask_for_the_passphrase(manager_on_tablet, unit, name, place):
    args = {"": [], "job": [unit.job.number], "unit": [unit.job.number, "SR-4"]}
    args["S0"] = [*args["unit"], "S0"]
    address = reverse(name, args=args[place])
    answer = manager_on_tablet.get(address)
    assert answer.status_code == 302
    assert answer.url.startswith(reverse("jobs:sign_in"))
    assert manager_on_tablet.post(address, {"passphrase": "a long test phrase"}).status_code == 403


def test_the_passphrase_opens_the_rest_and_a_new_pin_closes_it(manager_on_tablet, manager, rf):
    data = {"username": manager.username, "password": "a long test phrase"}
    answer = manager_on_tablet.post(reverse("jobs:sign_in"), data)
    assert answer.status_code == 302
    assert manager_on_tablet.get(reverse("jobs:people_list")).status_code == 200
    switch(manager_on_tablet, manager)
    assert manager_on_tablet.get(reverse("jobs:people_list")).status_code == 302


def test_a_withdrawn_tablet_switches_nobody(client, on_tablet, technician, manager, tablet):
    Tablet.objects.update(revoked_at="2026-01-01T00:00Z", revoked_by=manager)
    assert switch(client, technician).status_code == 404


def test_tablet_revoke_is_for_managers(client, technician, manager, tablet):
    address = reverse("jobs:tablet_revoke", args=[tablet.pk])
    client.force_login(technician)
    assert client.post(address).status_code == 403
    client.force_login(manager)
    assert client.post(address).status_code == 302
    assert client.post(address).status_code == 302
    assert client.post(reverse("jobs:tablet_revoke", args=[tablet.pk + 999])).status_code == 404


def own(**changed):
    return {"current": "a long test phrase", "pin": PIN, "again": PIN, **changed}


def test_own_pin_is_set_with_the_passphrase_and_removed(client, technician):
    client.force_login(technician)
    address = reverse("jobs:own_pin")
    assert client.post(address, own()).status_code == 302
    assert "Remove my PIN" in client.get(address).content.decode()
    assert client.post(address, {"remove": "1"}).status_code == 302
    assert not QuickPin.objects.exists()


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"current": "wrong"}, "not your passphrase"),
        ({"pin": "123"}, "4 to 8 digits"),
        ({"pin": "1" * 9}, "4 to 8 digits"),
        ({"pin": "12a4"}, "4 to 8 digits"),
        ({"pin": "1234"}, "guessed first"),
        ({"pin": "8765"}, "guessed first"),
        ({"pin": "0000"}, "guessed first"),
        ({"again": "4821"}, "differ"),
    ],
)
def test_own_pin_refuses_what_is_guessed_first(client, technician, changed, words):
    client.force_login(technician)
    answer = client.post(reverse("jobs:own_pin"), own(**changed))
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not QuickPin.objects.exists()


def test_the_navigation_of_a_pin_holds_only_what_the_pin_opens(manager_on_tablet):
    rooms = manager_on_tablet.get("/").context["navigation"]
    assert [room.word for room in rooms] == ["My day", "Stages", "Instruments"]
    for room in rooms:
        assert manager_on_tablet.get(room.url).status_code == 200


@pytest.mark.slow
@pytest.mark.browser
@pytest.mark.parametrize("size", [WIDE, TALL])
def test_people_take_a_tablet_over_in_a_browser(append_only, open_as, size):
    """Enrolled, signed out, taken over in three taps and a PIN, in all three displays."""
    manager = make_person("mona", MANAGER, first="Mona", last="Ash")
    person = make_person("tess", TECHNICIAN, first="Tess", last="Cedar")
    Shop.objects.create(id=1, name="Test Works")
    set_pin(person=person, pin=PIN)
    page = open_as(manager, "/tablets/enrol/", viewport=size)
    page.get_by_label("Name of the tablet").fill("Bay 1")
    page.get_by_role("button", name="Enrol tablet").click()
    page.get_by_role("button", name="Sign out").click()
    for mode in MODES:
        page.context.add_cookies([{"name": "mode", "value": mode, "url": page.url}])
        page.goto("/tablet/")
        axe(page, bay=True)
        assert too_small(page, BAY_TARGET) == []
    page.get_by_role("link", name="Tess Cedar").click()
    axe(page, bay=True)
    assert too_small(page, BAY_TARGET) == []
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name="Work as Tess Cedar").click()
    page.get_by_role("heading", name="My day").wait_for()
    page.goto("/stages/")
    page.get_by_role("link", name="Switch person").click()
    assert page.get_by_role("link", name="Tess Cedar (now)").count() == 1
    page.goto("/people/")
    page.get_by_label("Passphrase").wait_for()
