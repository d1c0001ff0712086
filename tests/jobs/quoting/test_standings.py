"""Where a job stands with its money, in words, without amounts."""

from datetime import timedelta

import pytest
from django.utils import timezone

from jobs.intake.spine import Now
from jobs.models import Quote
from jobs.quoting.changes import draft_change, offer_change
from jobs.quoting.decisions import withdraw_quote
from jobs.quoting.orders import enter_order
from jobs.quoting.standings import approval_standings, change_standings, quote_standings
from tests.factories import make_approved_quote, make_draft_quote, make_job, make_offered_quote


def of(standings, job):
    return standings([job])[job.pk]


def test_a_job_without_a_quote_can_get_one(manager):
    job = make_job()
    assert of(quote_standings, job).action.words == "Draft the quote"
    assert of(approval_standings, job).now == Now.LATER
    assert change_standings([job]) == {}


def test_a_draft_waits_to_be_finished(manager):
    quote = make_draft_quote(by=manager)
    standing = of(quote_standings, quote.job)
    assert (standing.now, standing.detail) == (Now.OPEN, "Revision A is a draft")


def test_an_offer_waits_for_the_agency(manager):
    quote = make_offered_quote(by=manager)
    assert of(quote_standings, quote.job).now == Now.DONE
    standing = of(approval_standings, quote.job)
    assert (standing.now, standing.waiting_for) == (Now.WAITING, "the agency")


def test_an_offer_that_ran_out_blocks(manager):
    quote = make_offered_quote(by=manager)
    Quote.objects.filter(pk=quote.pk).update(valid_until=timezone.localdate() - timedelta(1))
    standing = of(approval_standings, quote.job)
    assert standing.now == Now.OPEN
    assert "cannot be approved" in standing.blockers[0]


def test_a_withdrawn_offer_asks_for_a_new_revision(manager):
    quote = make_offered_quote(by=manager)
    withdraw_quote(quote=quote, by=manager)
    standing = of(quote_standings, quote.job)
    assert (standing.detail, standing.action.words) == (
        "Revision A is withdrawn",
        "Make a new revision",
    )


def test_a_held_order_blocks_an_approved_job(manager):
    quote = make_approved_quote(by=manager)
    assert of(approval_standings, quote.job).now == Now.DONE
    enter_order(
        job=quote.job, number="77-3316", revision="A", total_cents=1, bill_to="x",
        received_on=timezone.localdate(), by=manager,
    )  # fmt: skip
    standing = of(approval_standings, quote.job)
    assert standing.blockers == (f"Order 77-3316 is held: it does not fit {quote}.",)


@pytest.mark.parametrize(("offer", "now"), [(False, Now.OPEN), (True, Now.WAITING)])
def test_a_change_nobody_approved_blocks(manager, offer, now):
    quote = make_approved_quote(by=manager)
    change = draft_change(job=quote.job, title="x", reason="customer", by=manager)
    if offer:
        offer_change(change=change, version=change.version, by=manager)
    standing = of(change_standings, quote.job)
    assert standing.now == now
    assert standing.blockers == ("CO-01 is not approved; nobody works on it.",)


def test_no_standing_names_an_amount(manager):
    quote = make_approved_quote(by=manager)
    for standings in (quote_standings, approval_standings):
        assert "$" not in str(of(standings, quote.job))


def test_queries_do_not_grow_with_the_jobs(manager, django_assert_num_queries):
    jobs = [make_offered_quote(by=manager).job for _ in range(4)]
    with django_assert_num_queries(1):
        quote_standings(jobs)
    with django_assert_num_queries(2):
        approval_standings(jobs)
    with django_assert_num_queries(1):
        change_standings(jobs)
