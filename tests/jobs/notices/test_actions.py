import pytest
from django.core import mail
from django.urls import reverse

from jobs.models import AuditEvent, Contact, Notice, Shop
from jobs.notices.actions import SAMPLE, NoticeError, notify, office, send_again, words
from jobs.notices.post import HIDDEN, html_twin
from jobs.quoting.decisions import decide_quote
from jobs.stages.holds import refuse_hold
from tests.factories import make_notice, make_offered_quote, make_working_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop_address(shop):
    Shop.objects.update(email="office@shop.example")


def test_a_sent_quote_is_queued_with_its_link_and_told_so(client, manager):
    quote = make_offered_quote(by=manager)
    contact = Contact.objects.create(
        agency=quote.job.agency, name="Edda Quill", email="edda@agency.example", may_approve=True
    )
    client.force_login(manager)
    where = reverse("jobs:quote_send", args=[quote.job.number, "A"])
    assert "Look at it and approve or decline it here" in client.get(where).content.decode()
    page = client.post(where, {"contact": contact.pk, "other": ""})
    assert "is queued for edda@agency.example" in page.content.decode()
    assert mail.outbox == []
    notice = Notice.objects.get()
    assert notice.state == Notice.State.WAITING
    assert (HIDDEN in notice.text, "/q/" in notice.text) == (True, False)


@pytest.mark.parametrize("typed", ["Quill, Edda <edda@agency.example>", "a@b.example, c@d.example"])
def test_more_than_one_address_is_refused_in_words(client, manager, typed):
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    where = reverse("jobs:quote_send", args=[quote.job.number, "A"])
    page = client.post(where, {"contact": "", "other": typed})
    assert page.status_code == 422
    assert "is no e-mail address" in page.content.decode()
    assert not Notice.objects.exists()


def test_links_name_the_shops_address_and_not_the_requests(client, manager, settings):
    settings.ALLOWED_HOSTS, settings.PUBLIC_URL = ["*"], "https://shop.example"
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    where = reverse("jobs:quote_send", args=[quote.job.number, "A"])
    typed = {"contact": "", "other": "edda@agency.example"}
    page = client.post(where, typed, headers={"host": "evil.example"}).content.decode()
    assert "https://shop.example/q/" in page
    assert "evil.example/q/" not in page
    assert Notice.objects.get().link.startswith("https://shop.example/q/")


def test_every_mail_has_a_plain_twin_that_says_the_same(manager, shop_address):
    for kind in Notice.Kind.values:
        subject, text = words(kind, SAMPLE)
        assert subject
        assert "{{" not in text
        twin = html_twin(subject, text)
        assert all(word in twin for word in text.split() if word.isalpha())


def test_what_people_typed_is_no_html_in_the_twin():
    assert "<b>" not in html_twin("x", "<b>bold</b>")


def test_the_office_hears_of_answers_and_refused_holds(manager, inspector, shop_address):
    quote = make_offered_quote(by=manager)
    decide_quote(quote=quote, answer="approved", name="Edda Quill", digest=quote.digest)
    unit = make_working_unit(by=manager)
    hold = next(h for stage in unit.stages.all() for h in stage.holds.all())
    refuse_hold(hold=hold, by=inspector, reason="Two grommets are missing")
    refused, answered = Notice.objects.all()
    assert {refused.to, answered.to} == {"office@shop.example"}
    assert "approved" in answered.subject
    assert "Two grommets" in refused.text


def test_sending_again_starts_over_and_is_written_down(client, manager):
    notice = make_notice(state=Notice.State.FAILED, tries=5, error="no such host")
    client.force_login(manager)
    again = reverse("jobs:notice_again", args=[notice.pk])
    page = client.get(reverse("jobs:notice_detail", args=[notice.pk])).content.decode()
    assert "no such host" in page
    assert "Send e-mail again" in page
    client.post(again)
    notice.refresh_from_db()
    assert (notice.state, notice.tries, notice.error) == (Notice.State.WAITING, 0, "")
    assert AuditEvent.objects.filter(verb="sent again").count() == 1
    assert client.get(again).status_code == 405


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"state": Notice.State.SENT}, "went out already"),
        ({"state": Notice.State.FAILED, "text": HIDDEN}, "Its link is gone"),
    ],
)
def test_what_went_out_or_lost_its_link_is_not_sent_again(manager, facts, words):
    with pytest.raises(NoticeError, match=words):
        send_again(notice=make_notice(**facts), by=manager)


def test_what_failed_stands_on_the_list_with_its_reason(client, manager):
    make_notice(state=Notice.State.FAILED, error="no such host")
    client.force_login(manager)
    page = client.get(reverse("jobs:notice_list")).content.decode()
    assert "1 e-mail could not be sent" in page
    assert "no such host" in page
    assert "Nobody in the office hears" in page


def test_without_an_address_nothing_is_sent_and_managers_stand_in_for_the_shop(manager):
    assert office() == []
    assert notify(kind="answered", to=office()) is None
    type(manager).objects.filter(pk=manager.pk).update(email="mona@shop.example")
    assert office() == ["mona@shop.example"]


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
