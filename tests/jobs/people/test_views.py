import pytest
from django.contrib.auth.models import Group, User
from django.test import Client
from django.urls import reverse

from config.access import INSPECTOR, MANAGER, ROLES, TECHNICIAN, roles_of
from jobs.models import AuditEvent, Shop

PHRASE = "a long test phrase"
NEW = "quartz violin meadow"

FIRST = {
    "shop_name": "Corner Works",
    "full_name": "Olga Fir",
    "username": "olga",
    "passphrase": NEW,
    "again": NEW,
}


@pytest.fixture
def groups(db) -> None:
    Group.objects.bulk_create([Group(name=role) for role in ROLES], ignore_conflicts=True)


@pytest.fixture
def desk(client: Client, manager, groups) -> Client:
    """A browser in which the manager is signed in."""
    client.force_login(manager)
    return client


def text_of(answer) -> str:
    return answer.content.decode()


# --- First run ---


def test_an_empty_shop_shows_its_first_page_at_every_address(client, db):
    for path in ("/", "/people/", "/in/", "/no/such/page/"):
        assert client.get(path).url == "/first/"
    assert client.get("/first/").status_code == 200


def test_first_run_signs_in_and_says_what_comes_next(client, db):
    answer = client.post("/first/", FIRST, follow=True)
    assert answer.redirect_chain == [("/", 302)]
    page = text_of(answer)
    for words in ("Add the people", "Import the parts", "Open the first job", "Corner Works"):
        assert words in page


def test_first_run_is_closed_once_the_shop_is_open(client, shop):
    assert client.get("/first/").url == "/in/"
    assert client.post("/first/", FIRST).url == "/in/"
    assert not User.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"shop_name": " "}, "Shop name: This needs a value."),
        ({"shop_name": "x" * 121}, "at most 120 characters"),
        ({"username": "olga fir"}, "valid username"),
        ({"passphrase": "short", "again": "short"}, "at least 12 characters"),
        ({"passphrase": "password1234", "again": "password1234"}, "too common"),
        ({"again": "something else"}, "The two passphrases differ."),
    ],
)
def test_first_run_refuses_with_a_sentence_and_keeps_what_was_typed(client, db, wrong, words):
    answer = client.post("/first/", {**FIRST, **wrong})
    assert answer.status_code == 422
    page = text_of(answer)
    assert words in page
    assert "<title>Error: Open your shop" in page
    assert 'value="Olga Fir"' in page
    assert NEW not in page
    assert not Shop.objects.exists()
    assert not User.objects.exists()


def test_healthz_answers_before_the_shop_is_open(client, db):
    answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"ok")


# --- Signing in and out ---


def test_sign_in_leads_to_my_day_or_back_to_the_page_asked_for(client, manager):
    assert client.post("/in/", {"username": "mona", "password": PHRASE}).url == "/"
    client.post("/out/")
    asked = {"username": "mona", "password": PHRASE, "next": "/people/"}
    assert client.post("/in/", asked).url == "/people/"


def test_sign_in_never_leads_to_another_host(client, manager):
    asked = {"username": "mona", "password": PHRASE, "next": "https://elsewhere.example/"}
    assert client.post("/in/", asked).url == "/"


@pytest.mark.parametrize("name", ["mona", "nobody"])
def test_a_wrong_passphrase_says_the_same_for_known_and_unknown_names(client, manager, name):
    answer = client.post("/in/", {"username": name, "password": "wrong wrong wrong"})
    assert answer.status_code == 422
    assert "do not belong together" in text_of(answer)


def test_a_closed_account_cannot_sign_in_and_an_open_session_ends(client, manager):
    client.force_login(manager)
    User.objects.filter(pk=manager.pk).update(is_active=False)
    assert client.get("/").url == "/in/?next=/"
    answer = client.post("/in/", {"username": "mona", "password": PHRASE})
    assert answer.status_code == 422


def test_five_wrong_tries_stop_this_name_but_nobody_else(client, manager, technician):
    for _ in range(5):
        answer = client.post("/in/", {"username": "mona", "password": "wrong wrong wrong"})
    assert answer.status_code == 429
    assert "Wait before you try again" in text_of(answer)
    right = client.post("/in/", {"username": "mona", "password": PHRASE})
    assert right.status_code == 429
    assert client.post("/in/", {"username": "tess", "password": PHRASE}).url == "/"


def test_sign_out_only_takes_a_form(client, manager):
    client.force_login(manager)
    assert client.get("/out/").status_code == 405
    assert client.get("/").status_code == 200
    assert client.post("/out/").url == "/in/"
    assert client.get("/").url == "/in/?next=/"


def test_an_account_without_roles_can_still_leave(client, shop):
    client.force_login(User.objects.create_user("nora"))
    answer = client.get("/")
    assert answer.status_code == 403
    assert "Sign out" in text_of(answer)
    assert client.post("/out/").url == "/in/"


# --- Display ---


def test_set_mode_keeps_the_choice_on_the_device_and_goes_back(client, manager):
    client.force_login(manager)
    answer = client.post("/mode/", {"mode": "glare", "next": "/people/"})
    assert answer.url == "/people/"
    page = text_of(client.get("/people/"))
    assert 'glare.css" data-mode="glare" media="screen"' in page
    assert 'night.css" data-mode="night" media="not all"' in page


@pytest.mark.parametrize("mode", ["", "neon", "<script>"])
def test_set_mode_refuses_other_words(client, shop, mode):
    answer = client.post("/mode/", {"mode": mode})
    assert answer.status_code == 422
    assert "must be one of auto, paper, night, glare" in text_of(answer)
    assert "mode" not in answer.cookies


def test_a_forged_mode_cookie_is_read_as_no_choice(client, manager):
    client.force_login(manager)
    client.cookies["mode"] = '"><b>'
    page = text_of(client.get("/"))
    assert "<b>" not in page
    assert "prefers-color-scheme: dark" in page


# --- People ---


def person_form(**new) -> dict:
    return {
        "full_name": "Ida Yew",
        "username": "ida",
        "roles": [TECHNICIAN, INSPECTOR],
        "passphrase": NEW,
        "again": NEW,
        "is_active": "on",
        **new,
    }


def test_people_list_shows_roles_and_closed_accounts(desk, owner, technician):
    User.objects.filter(pk=technician.pk).update(is_active=False)
    page = text_of(desk.get("/people/"))
    assert "Office manager, Designer, Technician, Inspector" in page
    assert "Closed" in page


def test_people_list_costs_the_same_for_few_and_many(desk, django_assert_max_num_queries):
    for index in range(30):
        User.objects.create_user(f"p{index}")
    with django_assert_max_num_queries(7):
        desk.get("/people/")


def test_person_new_adds_somebody_who_can_sign_in(desk, client):
    assert desk.post("/people/new/", person_form()).url == "/people/"
    person = User.objects.get(username="ida")
    assert roles_of(person) == {TECHNICIAN, INSPECTOR}
    assert Client().post("/in/", {"username": "ida", "password": NEW}).url == "/"


def test_person_new_twice_adds_one(desk):
    desk.post("/people/new/", person_form())
    answer = desk.post("/people/new/", person_form())
    assert answer.status_code == 422
    assert "ida is taken" in text_of(answer)
    assert User.objects.filter(username="ida").count() == 1


def test_person_new_takes_names_that_differ_in_capitals_for_the_same(desk):
    answer = desk.post("/people/new/", person_form(username="MONA"))
    assert answer.status_code == 422
    assert "MONA is taken" in text_of(answer)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"roles": []}, "Roles: This needs a value."),
        ({"roles": ["captain"]}, "captain is not one of the available choices"),
        ({"email": "not an address"}, "valid email address"),
    ],
)
def test_person_new_refuses_with_a_sentence(desk, wrong, words):
    answer = desk.post("/people/new/", person_form(**wrong))
    assert answer.status_code == 422
    assert words in text_of(answer)
    assert not User.objects.filter(username="ida").exists()


def test_person_edit_changes_roles_and_name(desk, technician):
    url = reverse("jobs:person_edit", args=[technician.pk])
    assert 'value="Tess Cedar"' in text_of(desk.get(url))
    answer = desk.post(url, person_form(full_name="Tess Oak", username="tess", roles=[INSPECTOR]))
    assert answer.url == "/people/"
    again = User.objects.get(pk=technician.pk)
    assert again.get_full_name() == "Tess Oak"
    assert roles_of(again) == {INSPECTOR}


def test_person_edit_keeps_the_last_manager(desk, manager):
    url = reverse("jobs:person_edit", args=[manager.pk])
    for wrong in ({"roles": [TECHNICIAN]}, {"roles": [MANAGER], "is_active": ""}):
        answer = desk.post(url, person_form(full_name="Mona Ash", username="mona", **wrong))
        assert answer.status_code == 422
        assert "last active office manager" in text_of(answer)
    assert roles_of(User.objects.get(pk=manager.pk)) == {MANAGER}


@pytest.mark.parametrize("name", ["person_edit", "person_passphrase"])
def test_unknown_people_are_not_found(desk, name):
    assert desk.get(reverse(f"jobs:{name}", args=[999_999])).status_code == 404
    assert desk.delete(reverse(f"jobs:{name}", args=[1])).status_code == 405


def test_person_passphrase_ends_the_sessions_of_that_person(desk, technician):
    theirs = Client()
    theirs.force_login(technician)
    answer = desk.post(
        reverse("jobs:person_passphrase", args=[technician.pk]), {"passphrase": NEW, "again": NEW}
    )
    assert answer.url == "/people/"
    assert theirs.get("/").url == "/in/?next=/"
    assert Client().post("/in/", {"username": "tess", "password": NEW}).url == "/"


def test_own_account_changes_the_passphrase_and_stays_signed_in(client, technician):
    client.force_login(technician)
    typed = {"current": PHRASE, "passphrase": NEW, "again": NEW}
    assert client.post("/me/", typed).url == "/me/"
    assert client.get("/me/").status_code == 200
    assert AuditEvent.objects.get().sentence == "Changed their own passphrase."


def test_own_account_asks_for_the_passphrase_of_now(client, technician):
    client.force_login(technician)
    answer = client.post("/me/", {"current": "guess", "passphrase": NEW, "again": NEW})
    assert answer.status_code == 422
    assert "This is not your passphrase now." in text_of(answer)
    assert User.objects.get(pk=technician.pk).check_password(PHRASE)


# --- Shop settings ---

SHOP = {
    "name": "Test Works",
    "phone": "555 0100",
    "page_size": "A4",
    "labour_rate_cents": "125,50",
    "supplies_bp": "2.5",
    "quote_valid_days": "30",
}


def test_shop_settings_are_typed_in_trade_units(desk):
    page = text_of(desk.get("/shop/"))
    assert 'value="118"' in page
    assert 'value="3"' in page
    assert desk.post("/shop/", SHOP).url == "/shop/"
    shop = Shop.objects.get()
    assert (shop.labour_rate_cents, shop.supplies_bp, shop.page_size) == (12_550, 250, "A4")


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"labour_rate_cents": "-1"}, "-1 $ is below 0."),
        ({"labour_rate_cents": "1e400"}, "1e400 $ is above 10000."),
        ({"labour_rate_cents": "NaN"}, "NaN is not a number."),
        ({"supplies_bp": "100.5"}, "100.5 % is above 100."),
        ({"supplies_bp": "a lot"}, "a lot is not a number."),
        ({"quote_valid_days": "0"}, "greater than or equal to 1"),
        ({"quote_valid_days": "soon"}, "Enter a whole number."),
        ({"name": ""}, "Shop name: This needs a value."),
        ({"page_size": "poster"}, "poster is not one of the available choices"),
    ],
)
def test_shop_settings_refuse_with_a_sentence(desk, wrong, words):
    answer = desk.post("/shop/", {**SHOP, **wrong})
    assert answer.status_code == 422
    assert words in text_of(answer)
    assert Shop.objects.get().labour_rate_cents == 11_800
