import pytest
from django.core import mail
from django.urls import reverse

from jobs.models import Contact, Notice, Shop
from jobs.notices.actions import HIDDEN, SAMPLE, html_twin, notify, office, words
from jobs.quoting.decisions import decide_quote
from jobs.stages.holds import refuse_hold
from tests.factories import make_offered_quote, make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop_address(shop):
    Shop.objects.update(email="office@shop.example")


def test_a_sent_quote_goes_out_with_its_link_and_the_secret_is_not_kept(
    client, manager, django_capture_on_commit_callbacks
):
    quote = make_offered_quote(by=manager)
    contact = Contact.objects.create(
        agency=quote.job.agency, name="Edda Quill", email="edda@agency.example", may_approve=True
    )
    client.force_login(manager)
    where = reverse("jobs:quote_send", args=[quote.job.number, "A"])
    with django_capture_on_commit_callbacks(execute=True):
        assert client.post(where, {"contact": contact.pk, "other": ""}).status_code == 200
    (sent,) = mail.outbox
    assert sent.to == ["edda@agency.example"]
    assert "/q/" in sent.body
    notice = Notice.objects.get()
    assert notice.state == Notice.State.SENT
    assert "/q/" not in notice.text
    assert HIDDEN in notice.text


def test_every_mail_has_a_plain_twin_that_says_the_same(manager, shop_address):
    for kind in Notice.Kind.values:
        subject, text = words(kind, SAMPLE)
        assert subject
        assert "{{" not in text
        twin = html_twin(subject, text)
        assert all(word in twin for word in text.split() if word.isalpha())


def test_what_people_typed_is_no_html_in_the_twin():
    assert "<b>" not in html_twin("x", "<b>bold</b>")


def test_the_office_hears_of_answers_and_refused_holds(
    manager, inspector, shop_address, django_capture_on_commit_callbacks
):
    quote = make_offered_quote(by=manager)
    with django_capture_on_commit_callbacks(execute=True):
        decide_quote(quote=quote, answer="approved", name="Edda Quill", digest=quote.digest)
        unit = make_working_unit(by=manager)
        hold = next(h for stage in unit.stages.all() for h in stage.holds.all())
        refuse_hold(hold=hold, by=inspector, reason="Two grommets are missing")
    assert [one.to for one in mail.outbox] == [["office@shop.example"]] * 2
    assert "approved" in mail.outbox[0].subject
    assert "Two grommets" in mail.outbox[1].body


def test_without_an_address_nothing_is_sent_and_managers_stand_in_for_the_shop(manager):
    assert office() == []
    assert notify(kind="answered", to=office()) is None
    type(manager).objects.filter(pk=manager.pk).update(email="mona@shop.example")
    assert office() == ["mona@shop.example"]


def test_a_post_office_that_is_down_undoes_nothing(
    manager, shop_address, settings, django_capture_on_commit_callbacks
):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", 1
    quote = make_offered_quote(by=manager)
    with django_capture_on_commit_callbacks(execute=True):
        decide_quote(quote=quote, answer="declined", name="Edda Quill", digest=quote.digest)
    assert Notice.objects.get().state == Notice.State.FAILED
    quote.refresh_from_db()
    assert quote.state == "declined"


def test_every_kind_can_be_looked_at(client, manager, technician):
    client.force_login(manager)
    assert "Nothing was sent yet" in client.get(reverse("jobs:notice_list")).content.decode()
    for kind in Notice.Kind.values:
        page = client.get(reverse("jobs:notice_preview", args=[kind])).content.decode()
        assert "Plain text twin" in page
    assert client.get(reverse("jobs:notice_preview", args=["none"])).status_code == 404
    notice = notify(kind="answered", to=["a@b.example"], **SAMPLE)
    assert client.get(reverse("jobs:notice_detail", args=[notice.pk])).status_code == 200
    client.force_login(technician)
    assert client.get(reverse("jobs:notice_list")).status_code == 403
