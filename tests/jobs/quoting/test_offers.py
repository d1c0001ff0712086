"""Each reason against an offer is a sentence that says what to do."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from jobs.models import Agency, Quote
from jobs.quoting.offers import certificate_problem, offer_blockers
from tests.factories import make_draft_quote, make_job

TODAY = date(2026, 5, 1)
UNTIL = date(2026, 6, 1)
GOOD = {
    "name": "Harbour Rescue District",
    "exempt": True,
    "certificate_number": "NTM-EX-0917",
    "certificate_state": "State of Northmere",
    "certificate_expires_on": UNTIL,
}


def problem(**changes):
    return certificate_problem(Agency(**{**GOOD, **changes}), on=TODAY, until=UNTIL)


def test_certificate_that_lasts_as_long_as_the_quote_is_fine():
    assert problem() == ""


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"exempt": False}, "Harbour Rescue District has no exemption certificate"),
        ({"certificate_number": ""}, "has no exemption certificate"),
        ({"certificate_state": ""}, "Certificate NTM-EX-0917 names no state"),
        ({"certificate_expires_on": None}, "has no expiry date"),
        ({"certificate_expires_on": date(2026, 4, 30)}, "expired on 30 Apr 2026"),
        ({"certificate_expires_on": date(2026, 5, 31)}, "ends on 31 May 2026, before the quote"),
    ],
)
def test_certificate_problems_name_the_certificate_and_the_day(changes, words):
    assert words in problem(**changes)


def blockers(quote):
    return " ".join(offer_blockers(quote, on=timezone.localdate()))


def test_a_complete_draft_may_be_offered(manager):
    assert blockers(make_draft_quote(by=manager)) == ""


def test_past_validity_blocks(manager):
    yesterday = timezone.localdate() - timedelta(1)
    quote = make_draft_quote(by=manager, valid_until=yesterday, price_date=yesterday)
    assert "which is past. Set a later day." in blockers(quote)


def test_hours_without_a_rate_block(manager):
    assert "labour rate is $0" in blockers(make_draft_quote(by=manager, labour_rate_cents=0))


def test_taxed_without_a_rate_blocks(manager):
    quote = make_draft_quote(by=manager, job=make_job())
    assert "tax rate is 0 %" in blockers(quote)


def test_a_place_without_sales_tax_does_not_block(manager):
    assert blockers(make_draft_quote(by=manager, job=make_job(), tax=Quote.Tax.NONE)) == ""


def test_a_delivered_job_blocks(manager):
    quote = make_draft_quote(by=manager)
    quote.job.state = "delivered"
    assert f"Job {quote.job.number} is delivered." in blockers(quote)
