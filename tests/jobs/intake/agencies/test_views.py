import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.intake import pages
from jobs.models import Agency, AuditEvent, Contact
from tests.factories import make_agency, make_job
from tests.form_data import form_data


@pytest.fixture
def desk(client, manager):
    client.force_login(manager)
    return client


@pytest.fixture
def agency(db):
    return make_agency(name="Kestrel Sound")


def url(name, *args):
    return reverse(f"jobs:{name}", args=args)


def test_agency_list_on_an_empty_shop_says_what_to_do(desk):
    assert "No agency yet" in desk.get(url("agency_list")).content.decode()


def test_agency_list_counts_open_jobs_only(desk, agency):
    make_job(agency=agency)
    make_job(agency=agency, state="delivered")
    assert desk.get(url("agency_list")).context["agencies"] == [(agency, 1)]


def test_agency_list_goes_on_after_a_full_page(desk, monkeypatch):
    monkeypatch.setattr(pages.first_rows, "__defaults__", (2,))
    for name in "ABC":
        make_agency(name=name)
    page = desk.get(url("agency_list"))
    assert page.context["next_after"] == "B"
    assert "?after=B" in page.content.decode()


def test_agency_new_adds_the_agency_and_tells_the_history(desk):
    answer = desk.post(url("agency_new"), {"name": "  Kestrel   Sound "})
    agency = Agency.objects.get()
    assert answer.url == url("agency_detail", agency.pk)
    assert agency.name == "Kestrel Sound"
    assert AuditEvent.objects.get().sentence == "Added the agency Kestrel Sound."


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "This needs a value"),
        ({"name": "KESTREL SOUND"}, "There is an agency Kestrel Sound already."),
        ({"name": "B", "exempt": "on"}, "A tax-exempt agency has a certificate"),
        ({"name": "B", "certificate_expires_on": "soon"}, "This is not a date"),
    ],
)
def test_agency_new_names_what_is_wrong_and_keeps_what_was_typed(desk, agency, typed, words):
    answer = desk.post(url("agency_new"), {"place": "Port Kestrel", **typed})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page
    assert 'value="Port Kestrel"' in page
    assert Agency.objects.count() == 1


def test_agency_new_twice_makes_one(desk):
    desk.post(url("agency_new"), {"name": "Bay"})
    assert desk.post(url("agency_new"), {"name": "Bay"}).status_code == 422
    assert Agency.objects.count() == 1


def test_agency_detail_says_when_the_certificate_ran_out(desk, agency):
    agency.certificate_expires_on = "2020-01-31"
    agency.save(update_fields=["certificate_expires_on"])
    page = desk.get(url("agency_detail", agency.pk)).content.decode()
    assert "ran out on 31 Jan 2020" in page


def test_agency_edit_saves_only_what_changed(desk, agency):
    page = desk.get(url("agency_edit", agency.pk))
    data = form_data(page, place="Port Kestrel")
    assert desk.post(url("agency_edit", agency.pk), data).status_code == 302
    sentence = AuditEvent.objects.get().sentence
    assert sentence == "Changed Kestrel Sound: place."


def test_agency_edit_refuses_a_name_that_another_agency_has(desk, agency):
    make_agency(name="Bay")
    page = desk.get(url("agency_edit", agency.pk))
    answer = desk.post(url("agency_edit", agency.pk), form_data(page, name="bay"))
    assert answer.status_code == 422
    assert "There is an agency Bay already." in answer.content.decode()


def test_agency_legal_stores_ticks_by_zone_with_source_and_day(desk, agency):
    page = desk.get(url("agency_legal", agency.pk))
    typed = {"colours_front": ["red", "white"], "tones": ["wail"], "legal_source": "State code 9"}
    data = form_data(page, legal_checked_on="2026-03-12", **typed)
    assert desk.post(url("agency_legal", agency.pk), data).status_code == 302
    agency.refresh_from_db()
    assert agency.legal_profile == {"colours": {"front": ["red", "white"]}, "tones": ["wail"]}
    shown = desk.get(url("agency_detail", agency.pk)).content.decode()
    assert "State code 9" in shown
    assert "12 Mar 2026" in shown


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"legal_source": ""}, "Source: This needs a value"),
        ({"legal_checked_on": "2999-01-01"}, "is after today"),
        ({"colours_front": ["pink"]}, "Front: Select a valid choice. pink"),
    ],
)
def test_agency_legal_wants_a_source_and_a_day_and_known_colours(desk, agency, typed, words):
    data = {"version": 0, "legal_source": "Code", "legal_checked_on": "2026-03-12", **typed}
    answer = desk.post(url("agency_legal", agency.pk), data)
    assert answer.status_code == 422
    assert words in answer.content.decode()


def test_two_people_tick_at_once_and_the_second_sees_both(desk, agency):
    first = desk.get(url("agency_legal", agency.pk))
    day = timezone.localdate().isoformat()
    typed = {"legal_source": "Code", "legal_checked_on": day}
    desk.post(url("agency_legal", agency.pk), form_data(first, colours_front=["red"], **typed))
    answer = desk.post(
        url("agency_legal", agency.pk), form_data(first, colours_front=["blue"], **typed)
    )
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "<td>Red</td>" in page
    assert "<td>Blue</td>" in page


def test_contacts_are_added_changed_and_removed(desk, agency):
    data = {"name": "Edda Quill", "may_approve": "on", "limit_cents": "100000"}
    assert desk.post(url("contact_new", agency.pk), data).status_code == 302
    contact = Contact.objects.get()
    assert contact.limit_cents == 10_000_000
    edit = url("contact_edit", agency.pk, contact.pk)
    assert desk.post(edit, form_data(desk.get(edit), phone="555 0199")).status_code == 302
    contact.refresh_from_db()
    assert (contact.phone, contact.limit_cents) == ("555 0199", 10_000_000)
    remove = url("contact_remove", agency.pk, contact.pk)
    assert desk.post(remove).status_code == 302
    assert desk.post(remove).status_code == 404
    verbs = list(AuditEvent.objects.order_by("pk").values_list("verb", flat=True))
    assert verbs == ["added", "changed", "removed"]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"name": ""}, "needs a value"),
        ({"name": "E", "email": "no"}, "valid email"),
        ({"name": "E", "limit_cents": "5"}, "this person may not approve money"),
        ({"name": "E", "may_approve": "on", "limit_cents": "-5"}, "-5 $ is below 0"),
    ],
)
def test_contact_new_names_what_is_wrong(desk, agency, typed, words):
    answer = desk.post(url("contact_new", agency.pk), typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Contact.objects.exists()


def test_a_contact_of_another_agency_is_not_found(desk, agency):
    contact = Contact.objects.create(agency=make_agency(), name="Ilse")
    assert desk.get(url("contact_edit", agency.pk, contact.pk)).status_code == 404


def test_agency_names_answers_options_that_fit(desk, agency):
    make_agency(name="Other")
    answer = desk.get(url("agency_names"), {"agency_name": "kes"})
    assert answer.content.decode().split() == ["<option", 'value="Kestrel', 'Sound"></option>']


@pytest.mark.parametrize("name", ["agency_detail", "agency_edit", "agency_legal", "contact_new"])
def test_an_unknown_agency_is_not_found(desk, name):
    assert desk.get(url(name, 999)).status_code == 404


def test_everybody_may_look_and_only_managers_may_change(client, technician, agency):
    client.force_login(technician)
    assert client.get(url("agency_detail", agency.pk)).status_code == 200
    assert "Edit billing" not in client.get(url("agency_detail", agency.pk)).content.decode()
    assert client.post(url("agency_edit", agency.pk), {"name": "X"}).status_code == 403
