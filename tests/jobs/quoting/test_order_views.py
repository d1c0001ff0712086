"""Typing the customer's order in, and what is done about a held one."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from jobs.models import PriceContract, PurchaseOrder, Quote
from tests.factories import make_approved_quote, make_job


@pytest.fixture
def quote(manager, client):
    client.force_login(manager)
    return make_approved_quote(by=manager)


def typed(quote, **changes):
    return {
        "number": "77-3316",
        "revision_typed": "a",
        "total_cents": f"{quote.total_cents // 100}.{quote.total_cents % 100:02d}",
        "bill_to": quote.job.agency.bill_to,
        "received_on": timezone.localdate().isoformat(),
        **changes,
    }


def enter(client, quote, **changes):
    path = reverse("jobs:order_new", args=[quote.job.number])
    return client.post(path, typed(quote, **changes))


def url(name, order):
    return reverse(f"jobs:{name}", args=[order.job.number, order.pk])


def test_order_that_fits_is_shown_as_fitting(client, quote):
    answer = enter(client, quote)
    page = client.get(answer.url).content.decode()
    assert "The order fits revision A." in page
    assert PurchaseOrder.objects.get().revision_typed == "A"


def test_held_order_names_every_mismatch(client, quote):
    page = client.get(enter(client, quote, revision_typed="Z", total_cents="1").url)
    text = page.content.decode()
    assert "Held: it does not fit the quote" in text
    assert "names revision Z, which does not exist" in text
    assert "total is $1.00" in text


def test_the_address_of_the_agency_is_suggested(client, quote):
    page = client.get(reverse("jobs:order_new", args=[quote.job.number]))
    assert "Pier Office" in page.content.decode()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"number": ""}, "This needs a value"),
        ({"total_cents": "12,34,5"}, "12,34,5"),
        ({"total_cents": "-5"}, "-5 $ is below 0"),
        ({"received_on": "2199-01-01"}, "is after today"),
        ({"bill_to": "x" * 201}, "at most 200 characters"),
        ({"revision_typed": "ABCD"}, "at most 3 characters"),
    ],
)
def test_bad_entries_are_named(client, quote, changes, words):
    page = enter(client, quote, **changes)
    assert page.status_code == 422
    assert words in page.content.decode()
    assert not PurchaseOrder.objects.exists()


def test_number_typed_twice_is_told(client, quote):
    enter(client, quote)
    page = enter(client, quote)
    assert page.status_code == 422
    assert "77-3316 is entered" in page.content.decode()


def test_corrected_order_fits(client, quote):
    enter(client, quote, revision_typed="Z")
    order = PurchaseOrder.objects.get()
    answer = client.post(url("order_edit", order), typed(quote, version=order.version))
    assert answer.status_code == 302
    order.refresh_from_db()
    assert not order.held


def test_correction_by_two_managers_shows_the_second_both_texts(client, quote):
    enter(client, quote, revision_typed="Z")
    order = PurchaseOrder.objects.get()
    client.post(url("order_edit", order), typed(quote, version=order.version, revision_typed="B"))
    page = client.post(
        url("order_edit", order), typed(quote, version=order.version, revision_typed="C")
    )
    assert page.status_code == 409
    assert "Somebody else changed this" in page.content.decode()
    order.refresh_from_db()
    assert order.revision_typed == "B"


def test_letting_a_held_order_through_needs_a_reason(client, quote):
    enter(client, quote, revision_typed="Z")
    order = PurchaseOrder.objects.get()
    path = url("order_resolve", order)
    assert client.post(path, {"reason": " ", "version": order.version}).status_code == 422
    assert client.post(path, {"reason": "Letter", "version": order.version}).status_code == 302
    page = client.get(url("order_detail", order)).content.decode()
    assert "Let through although it does not fit" in page
    assert client.post(path, {"reason": "Again", "version": order.version}).status_code == 409


def test_order_of_another_job_is_404(client, quote, manager):
    enter(client, quote)
    order = PurchaseOrder.objects.get()
    other = make_job()
    assert (
        client.get(reverse("jobs:order_detail", args=[other.number, order.pk])).status_code == 404
    )


def test_an_order_is_matched_with_the_contract_of_its_quote(client, quote):
    contract = PriceContract.objects.create(
        number="NC-7", name="County buyers", tiers=[[1, 0]], route="through the buying office",
        valid_from=date(2020, 1, 1), valid_until=date(2099, 12, 31),
    )  # fmt: skip
    Quote.objects.filter(pk=quote.pk).update(contract=contract)
    page = client.get(enter(client, quote).url).content.decode()
    assert "The order names no contract; the quote is under contract NC-7." in page
    assert "through the buying office" in page
    held = PurchaseOrder.objects.get()
    corrected = typed(quote, contract_typed=" NC-7 ", version=held.version)
    assert client.post(url("order_edit", held), corrected).status_code == 302
    held.refresh_from_db()
    assert (held.contract_typed, held.held) == ("NC-7", False)
