"""The customer's pages: the secret leaves the address bar, looking changes nothing, one answer."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.documents.tasks import drain_documents
from jobs.intake.links import CHANGE, QUOTE, make_link, revoke_link
from jobs.models import AuditEvent, CustomerLink, Decision, Quote
from jobs.quoting.actions import add_item, revise_quote
from jobs.quoting.changes import draft_change, offer_change
from jobs.quoting.decisions import offer_quote, withdraw_quote
from jobs.quoting.public import COOKIE
from tests.factories import make_approved_quote, make_offered_quote
from tests.jobs.quoting import rescue_van as van

SHOWN, APPROVE, DECLINE = "/q/", "/q/approve/", "/q/decline/"


@pytest.fixture
def quote(manager):
    return make_offered_quote(by=manager, exclusions="Radio licences", terms="Net 30 days")


def link_to(subject, by, purpose=QUOTE):
    link, token = make_link(
        job=subject.job, purpose=purpose, subject_id=subject.pk, sent_to="Edda Quill", by=by
    )
    return link, reverse("jobs:quote_open", args=[token])


@pytest.fixture
def opened(client, quote, manager):
    """A customer who has just opened the link."""
    client.get(link_to(quote, manager)[1])
    return client


def answer(quote, **changes):
    return {"name": "Edda Quill", "digest": quote.digest, **changes}


def main_of(page):
    """The page without its frame, which holds a token of its own against forged forms."""
    return page.content.decode().partition("<main")[2].partition("</main>")[0]


# Opening


def test_the_secret_leaves_the_address_bar_at_once(client, quote, manager):
    path = link_to(quote, manager)[1]
    answer = client.get(path)
    cookie = answer.cookies[COOKIE]
    assert (answer.status_code, answer.url) == (302, SHOWN)
    assert answer["Referrer-Policy"] == "no-referrer"
    assert answer["Cache-Control"] == "no-store"
    assert (cookie["path"], cookie["httponly"], cookie["samesite"]) == ("/q/", True, "Lax")
    assert 0 < int(cookie["max-age"]) <= 3600
    page = client.get(SHOWN)
    assert path.split("/")[2] not in page.content.decode()


def test_the_page_is_private_and_says_what_is_asked(opened, quote):
    page = opened.get(SHOWN)
    text = page.content.decode()
    assert (page["Cache-Control"], page["X-Robots-Tag"]) == ("no-store", "noindex")
    assert page["Referrer-Policy"] == "same-origin"
    for words in ("Test Works", "Radio licences", "Net 30 days", "Warning lights", "$5,"):
        assert words in text, words
    assert "Margin" not in text and "1,200.00" not in text


@pytest.mark.parametrize("method", ["get", "head"])
def test_looking_changes_nothing(client, quote, manager, method):
    path = link_to(quote, manager)[1]
    before = (Quote.objects.values().get(pk=quote.pk), AuditEvent.objects.count())
    for _ in range(3):
        getattr(client, method)(path)
        getattr(client, method)(SHOWN)
    assert (Quote.objects.values().get(pk=quote.pk), AuditEvent.objects.count()) == before
    assert not Decision.objects.exists()


@pytest.mark.parametrize("path", [APPROVE, DECLINE])
def test_answers_are_posted(opened, path):
    assert opened.get(path).status_code == 405


def test_unknown_expired_and_withdrawn_links_get_the_same_page(client, quote, manager):
    expired, expired_path = link_to(quote, manager)
    CustomerLink.objects.filter(pk=expired.pk).update(expires_at=timezone.now())
    revoked, revoked_path = link_to(quote, manager)
    revoke_link(link=revoked, by=manager)
    pages = [client.get(path) for path in ("/q/unknown/", expired_path, revoked_path)]
    assert {page.status_code for page in pages} == {404}
    assert len({main_of(page) for page in pages}) == 1
    assert quote.job.number not in pages[0].content.decode()


def test_a_withdrawn_link_closes_a_page_that_is_open(client, quote, manager):
    link, path = link_to(quote, manager)
    client.get(path)
    revoke_link(link=link, by=manager)
    assert client.get(SHOWN).status_code == 404
    assert client.post(APPROVE, answer(quote)).status_code == 404
    assert not Decision.objects.exists()


def test_without_the_cookie_the_page_says_to_open_the_link_again(client, quote):
    page = client.get(SHOWN)
    assert page.status_code == 404
    assert "Open your link again" in page.content.decode()


def test_guessing_is_slowed_down(client, shop):
    statuses = [client.get(f"/q/guess{number}/").status_code for number in range(32)]
    assert statuses[:30] == [404] * 30
    assert statuses[-1] == 429


def test_a_packet_link_opens_no_quote(client, quote, manager):
    path = link_to(quote, manager, purpose="packet")[1]
    assert client.get(path).status_code == 404


# Answering


def test_approval_is_confirmed_and_says_what_comes_next(opened, quote):
    sent = opened.post(APPROVE, answer(quote, name="  Edda   Quill "))
    assert (sent.status_code, sent.url) == (302, SHOWN)
    text = opened.get(SHOWN).content.decode()
    assert "is approved already, by Edda Quill" in text
    assert "Send your order" in text
    assert "Approve this quote" not in text
    decision = Decision.objects.get()
    assert (decision.name, decision.ip, decision.digest) == (
        "Edda Quill",
        "127.0.0.1",
        quote.digest,
    )


def test_double_approval_is_told_by_whom(opened, quote):
    opened.post(APPROVE, answer(quote))
    page = opened.post(APPROVE, answer(quote, name="Ilse Marrow"))
    assert page.status_code == 409
    assert "is approved already, by Edda Quill" in page.content.decode()
    assert Decision.objects.count() == 1


def test_decline_keeps_the_comment(opened, quote):
    sent = opened.post(DECLINE, answer(quote, comment="Too late for the season"))
    assert sent.status_code == 302
    assert Decision.objects.get().comment == "Too late for the season"
    assert "will call you about it" in opened.get(SHOWN).content.decode()


@pytest.mark.parametrize("path", [APPROVE, DECLINE])
@pytest.mark.parametrize("name", ["", "x", "12 34", "\0", "x" * 121])
def test_a_name_that_is_no_name_is_refused(opened, quote, path, name):
    page = opened.post(path, answer(quote, name=name))
    assert page.status_code == 422
    assert not Decision.objects.exists()


def test_what_was_typed_is_kept_on_a_refusal(opened, quote):
    page = opened.post(DECLINE, answer(quote, name="", comment="Too late"))
    assert "Too late" in page.content.decode()


def test_answer_to_an_earlier_page_is_refused(opened, quote):
    page = opened.post(APPROVE, answer(quote, digest="0" * 64))
    assert page.status_code == 409
    assert "Look at it again" in page.content.decode()


def test_expired_quote_cannot_be_approved(opened, quote):
    Quote.objects.filter(pk=quote.pk).update(valid_until=timezone.localdate() - timedelta(1))
    text = opened.get(SHOWN).content.decode()
    assert "cannot be approved any more" in text
    assert "Approve this quote" not in text
    assert opened.post(APPROVE, answer(quote)).status_code == 409
    assert not Decision.objects.exists()


def test_withdrawn_quote_says_so(opened, quote, manager):
    withdraw_quote(quote=quote, by=manager)
    assert "The shop has withdrawn this quote" in opened.get(SHOWN).content.decode()
    assert opened.post(APPROVE, answer(quote)).status_code == 409


def test_superseded_quote_points_to_the_later_one(opened, quote, manager):
    new = revise_quote(quote=quote, by=manager)
    offer_quote(quote=new, version=new.version, by=manager)
    assert "A later revision has replaced this one" in opened.get(SHOWN).content.decode()
    assert opened.post(APPROVE, answer(quote)).status_code == 409


def test_a_form_from_elsewhere_is_refused(quote, manager):
    strict = Client(enforce_csrf_checks=True)
    strict.get(link_to(quote, manager)[1])
    assert strict.post(APPROVE, answer(quote)).status_code == 403
    assert not Decision.objects.exists()


def test_the_page_names_what_changed_since_the_last_revision(client, quote, manager):
    new = revise_quote(quote=quote, by=manager, note="Freight added")
    add_item(quote=new, version=new.version, by=manager, item=van.freight())
    new.refresh_from_db()
    offer_quote(quote=new, version=new.version, by=manager)
    client.get(link_to(new, manager)[1])
    text = client.get(SHOWN).content.decode()
    assert "What changed since revision A" in text
    assert "Added: Freight in (+$1,850.00)" in " ".join(text.split())


def test_the_pdf_comes_when_it_is_ready(opened, quote):
    assert opened.get("/q/pdf/").status_code == 404
    drain_documents()
    answer = opened.get("/q/pdf/")
    assert answer["Content-Type"] == "application/pdf"
    assert b"".join(answer.streaming_content).startswith(b"%PDF")


# Change orders


@pytest.fixture
def change(manager):
    quote = make_approved_quote(by=manager)
    row = draft_change(
        job=quote.job, title="Two more lights", reason="customer", by=manager,
        lines=van.more_ground_lights(),
    )  # fmt: skip
    return offer_change(change=row, version=row.version, by=manager)


def test_change_order_is_approved_by_link_with_an_amendment_number(client, change, manager):
    client.get(link_to(change, manager, CHANGE)[1])
    assert "Two more lights" in client.get(SHOWN).content.decode()
    sent = client.post(APPROVE, answer(change, amendment="1"))
    change.refresh_from_db()
    assert sent.status_code == 302
    assert (change.state, change.amendment) == ("approved", "1")
    assert "The work on this change can start" in client.get(SHOWN).content.decode()


def test_change_order_is_declined_by_link(client, change, manager):
    client.get(link_to(change, manager, CHANGE)[1])
    client.post(DECLINE, answer(change))
    change.refresh_from_db()
    assert change.state == "declined"


def test_a_link_opened_in_between_cannot_turn_an_answer_to_something_else(
    client, change, quote, manager
):
    client.get(link_to(quote, manager)[1])
    client.get(link_to(change, manager, CHANGE)[1])
    page = client.post(APPROVE, answer(quote))
    assert page.status_code == 409
    assert Decision.objects.filter(change=change).count() == 0
    assert Decision.objects.filter(quote=quote).count() == 0
