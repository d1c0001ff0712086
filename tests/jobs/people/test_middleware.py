import pytest

from jobs.people.middleware import behind_proxy


def test_a_wrong_method_gets_a_page_that_says_so(client, manager):
    client.force_login(manager)
    answer = client.get("/out/")
    assert answer.status_code == 405
    assert answer.headers["Allow"] == "POST"
    assert b"Use the button on its page" in answer.content


def test_a_fragment_without_a_session_brings_the_whole_sign_in_page(client, shop):
    answer = client.get(
        "/people/",
        headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/jobs/?state=open"},
    )
    assert answer.status_code == 200
    assert answer.headers["HX-Redirect"] == "/in/?next=%2Fjobs%2F%3Fstate%3Dopen"
    assert answer.content == b""


@pytest.mark.parametrize(
    ("path", "status", "words"),
    [
        ("/no/such/page/", 404, "Not found"),
        ("/people/", 403, "This needs the role Office manager."),
    ],
)
def test_refusals_are_pages_with_a_way_on(client, technician, path, status, words):
    client.force_login(technician)
    answer = client.get(path)
    page = answer.content.decode()
    assert answer.status_code == status
    assert words in page
    assert "Go to My day" in page


def test_a_foreign_form_is_refused_in_words(manager):
    from django.test import Client

    strict = Client(enforce_csrf_checks=True)
    strict.force_login(manager)
    answer = strict.post("/shop/", {})
    assert answer.status_code == 403
    assert b"Send it again" in answer.content


def test_a_failure_shows_a_page_and_no_detail(client, manager, monkeypatch):
    from jobs.people import views

    def fail(*args, **kwargs):
        raise RuntimeError("secret detail")

    monkeypatch.setattr(views.actions, "change_shop", fail)
    client.force_login(manager)
    client.raise_request_exception = False
    answer = client.post(
        "/shop/",
        {
            "name": "Test Works",
            "page_size": "A4",
            "labour_rate_cents": "1",
            "supplies_bp": "1",
            "quote_valid_days": "1",
        },
    )
    assert answer.status_code == 500
    assert b"Something broke on our side" in answer.content
    assert b"secret" not in answer.content


def test_an_address_with_a_nul_character_names_nothing(client, manager):
    client.force_login(manager)
    assert client.get("/jobs/%00/").status_code == 404
    assert client.post("/jobs/J-1/units/%00/edit/").status_code == 404


@pytest.mark.parametrize("path", ["/notices/?job=%00", "/search/?q=a%00b", "/jobs/?q=%00"])
def test_a_question_with_a_nul_character_finds_nothing(client, manager, path):
    client.force_login(manager)
    assert client.get(path).status_code == 404


@pytest.mark.parametrize("name", ["session", "csrf", "mode", "quote_link", "tablet"])
def test_a_cookie_with_a_nul_character_is_none(client, shop, name):
    client.cookies[name] = "\0" * 8
    assert client.get("/in/").status_code == 200
    assert client.get("/people/").status_code == 302


def test_behind_a_proxy_people_are_told_apart_by_what_the_proxy_saw(rf):
    def address(**headers):
        request = rf.get("/", REMOTE_ADDR="127.0.0.1", headers=headers)
        behind_proxy(lambda request: request)(request)
        return request.META["REMOTE_ADDR"]

    assert address() == "127.0.0.1"
    assert address(X_Forwarded_For="203.0.113.9, 198.51.100.7") == "198.51.100.7"
    assert address(X_Forwarded_For="2001:db8::7%eth0") == "2001:db8::7"
    assert address(X_Forwarded_For="198.51.100.7, nobody") == "127.0.0.1"


@pytest.mark.parametrize("path", ["/", "/people/", "/no/such/page/", "/out/", "/jobs/", "/healthz"])
def test_no_answer_is_kept_on_a_shared_device(client, manager, path):
    client.force_login(manager)
    assert "no-store" in client.get(path).headers["Cache-Control"]


def test_a_forged_form_and_a_foreign_host_are_not_kept_either(manager):
    from django.test import Client

    strict = Client(enforce_csrf_checks=True)
    assert strict.post("/in/", {}).headers["Cache-Control"] == "no-store"
    assert strict.get("/in/", headers={"host": "evil.example"}).headers["Cache-Control"]
