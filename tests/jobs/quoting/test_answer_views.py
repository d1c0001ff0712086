"""Sending a link, and writing down an answer that came on paper."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import Contact, CustomerLink, Decision, Notice, Quote
from jobs.quoting.answer_forms import NameField
from tests.factories import make_draft_quote, make_offered_quote
from tests.form_data import form_data


@pytest.fixture
def quote(manager, client):
    client.force_login(manager)
    return make_offered_quote(by=manager)


@pytest.fixture
def buyer(quote):
    return Contact.objects.create(
        agency=quote.job.agency,
        name="Edda Quill",
        role="Purchasing",
        email="edda@agency.example",
        may_approve=True,
        limit_cents=10_000_000,
    )


def url(name, quote):
    return reverse(f"jobs:{name}", args=[quote.job.number, quote.revision])


def record(quote, **changes):
    return {
        "answer": "approved",
        "name": "Edda Quill",
        "signed_on": timezone.localdate().isoformat(),
        "comment": "",
        "digest": quote.digest,
        **changes,
    }


def test_the_link_is_shown_once_and_opens_the_quote(client, quote, buyer):
    page = client.post(url("quote_send", quote), {"contact": buyer.pk, "other": ""})
    found = re.search(r'value="(http://127.0.0.1:8000/q/[^"]+)"', page.content.decode())
    assert page["Cache-Control"] == "no-store"
    assert found
    assert client.get(found[1]).status_code == 302
    link = CustomerLink.objects.get()
    assert (link.subject_id, link.sent_to, link.purpose) == (quote.pk, "Edda Quill", "quote")
    assert found[1].rsplit("/", 2)[1] not in client.get(url("quote_detail", quote)).content.decode()


def test_the_letter_names_the_person_and_carries_the_link(client, quote, buyer):
    page = client.post(url("quote_send", quote), {"contact": buyer.pk, "other": ""})
    assert 'href="mailto:edda%40agency.example?subject=Quote%20' in page.content.decode()


def test_the_contact_who_may_approve_is_suggested(client, quote, buyer):
    page = client.get(url("quote_send", quote)).content.decode()
    assert f'<option value="{buyer.pk}" selected>' in page


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"limit_cents": 100_000}, "Edda Quill may approve up to $1,000.00; this is $"),
        ({"may_approve": False}, "Edda Quill may not approve money"),
    ],
)
def test_somebody_who_may_not_approve_this_gets_no_link(client, quote, buyer, changes, words):
    Contact.objects.filter(pk=buyer.pk).update(**changes)
    page = client.post(url("quote_send", quote), {"contact": buyer.pk, "other": ""})
    assert page.status_code == 422
    assert words in page.content.decode()
    assert not CustomerLink.objects.exists()


def test_nobody_named_is_refused(client, quote):
    page = client.post(url("quote_send", quote), {"contact": "", "other": " "})
    assert page.status_code == 422
    assert "type who gets the link" in page.content.decode()


def test_a_draft_is_not_sent(client, manager):
    client.force_login(manager)
    page = client.get(url("quote_send", make_draft_quote(by=manager)))
    assert page.status_code == 409
    assert "only an offered quote is sent" in page.content.decode()


def test_answer_on_paper_is_recorded_with_the_writer(client, quote):
    assert client.post(url("quote_record", quote), record(quote)).status_code == 302
    decision = Decision.objects.get()
    assert (decision.name, decision.recorded_by) == ("Edda Quill", "Mona Ash")
    assert Quote.objects.get(pk=quote.pk).state == "approved"


def test_answer_on_paper_twice_is_told(client, quote):
    client.post(url("quote_record", quote), record(quote))
    page = client.post(url("quote_record", quote), record(quote, answer="declined"))
    assert page.status_code == 409
    assert "is approved already, by Edda Quill" in page.content.decode()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"answer": "perhaps"}, "Select a valid choice"),
        ({"name": ""}, "It stands for your signature"),
        ({"name": "12"}, "'12' is not a full name"),
        ({"signed_on": "2199-01-01"}, "is after today"),
        ({"signed_on": "2020-01-01"}, "The paper is of 1 Jan 2020, before the offer"),
        ({"digest": "0" * 64}, "not the one that was shown"),
    ],
)
def test_bad_records_are_refused(client, quote, changes, words):
    page = client.post(url("quote_record", quote), record(quote, **changes))
    assert page.status_code == 422
    assert words in page.content.decode().replace("&#x27;", "'")
    assert not Decision.objects.exists()


@pytest.mark.parametrize(("typed", "kept"), [("  Łucja   Ø ", "Łucja Ø"), ("Bo Li", "Bo Li")])
def test_names_are_kept_as_people_write_them(typed, kept):
    assert NameField().clean(typed) == kept


def test_a_double_click_makes_and_sends_one_link(client, quote, buyer):
    form = {**form_data(client.get(url("quote_send", quote))), "contact": buyer.pk}
    assert client.post(url("quote_send", quote), form).status_code == 200
    page = client.post(url("quote_send", quote), form)
    assert page.status_code == 409
    assert "A link for Edda Quill was made after you opened this page." in page.content.decode()
    assert (CustomerLink.objects.count(), Notice.objects.count()) == (1, 1)
    again = {**form_data(page), "contact": "", "other": "Ilse Marrow"}
    assert client.post(url("quote_send", quote), again).status_code == 200
    assert CustomerLink.objects.count() == 2
