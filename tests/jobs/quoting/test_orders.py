"""The customer's order is matched and held until every mismatch is resolved."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.models import PurchaseOrder
from jobs.quoting.actions import draft_quote
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.orders import correct_order, enter_order, resolve_order
from tests.factories import make_exempt_agency, make_job
from tests.jobs.quoting import rescue_van as van


@pytest.fixture
def job(manager):
    """The rescue van with revision B approved after revision A."""
    job = make_job(agency=make_exempt_agency())
    for lines in (van.revision_a(), [*van.parts(), van.sublet()]):
        quote = draft_quote(job=job, lines=lines, by=manager, discount_bp=2_200)
        offer_quote(quote=quote, version=quote.version, by=manager)
    decide_quote(quote=quote, answer="approved", name="Edda Quill", digest=quote.digest)
    return job


def enter(job, by, **changes):
    given = {
        "number": "77-3316",
        "revision": "B",
        "total_cents": 7_816_151,
        "bill_to": job.agency.bill_to,
        "received_on": timezone.localdate(),
        **changes,
    }
    return enter_order(job=job, by=by, **given)


def test_order_for_the_approved_revision_fits(job, manager):
    order = enter(job, manager)
    assert (order.held, order.mismatches, order.quote.revision) == (False, [], "B")


def test_order_typed_for_revision_a_is_held(job, manager):
    order = enter(job, manager, revision="A", total_cents=7_254_775)
    assert order.held
    assert [sentence.split(";")[0] for sentence in order.mismatches] == [
        "The order names revision A, which is superseded",
        "The order's total is $72,547.75",
    ]


def test_a_number_is_entered_once(job, manager):
    enter(job, manager)
    with pytest.raises(QuoteError, match="77-3316 is entered"):
        enter(job, manager)


def test_a_corrected_order_is_matched_again(job, manager):
    order = enter(job, manager, revision="A", total_cents=7_254_775)
    correct_order(
        order=order, version=order.version, revision="B", total_cents=7_816_151,
        bill_to=job.agency.bill_to, received_on=date(2026, 3, 25), by=manager,
    )  # fmt: skip
    order.refresh_from_db()
    assert (order.held, order.mismatches) == (False, [])


def test_a_held_order_is_let_through_with_a_reason_and_keeps_its_mismatches(job, manager):
    order = enter(job, manager, revision="A")
    resolve_order(order=order, version=order.version, reason="Letter of 26 March", by=manager)
    order.refresh_from_db()
    assert (order.held, order.resolution, order.resolved_by) == (
        False,
        "Letter of 26 March",
        "Mona Ash",
    )
    assert len(order.mismatches) == 1


def test_two_managers_at_once_and_the_second_is_told(job, manager):
    order = enter(job, manager, revision="A")
    seen = order.version
    resolve_order(order=order, version=seen, reason="Letter", by=manager)
    with pytest.raises(StaleError, match="Somebody else changed order 77-3316"):
        resolve_order(order=order, version=seen, reason="Phone call", by=manager)


def test_an_order_that_fits_needs_no_reason(job, manager):
    order = enter(job, manager)
    with pytest.raises(StaleError, match="is not held"):
        resolve_order(order=order, version=order.version, reason="x", by=manager)


def test_an_order_for_quote_and_change_fits_once_the_change_is_approved(job, manager):
    order = enter(job, manager, total_cents=7_835_664)
    assert order.held
    change = draft_change(
        job=job, title="Lights", reason="customer", by=manager, lines=van.more_ground_lights()
    )
    offer_change(change=change, version=change.version, by=manager)
    decide_change(change=change, answer="approved", name="Edda Quill", digest=change.digest)
    order.refresh_from_db()
    assert not order.held


def test_an_order_without_any_quote_is_held(manager):
    order = enter(make_job(agency=make_exempt_agency()), manager)
    assert order.held and order.quote is None


def test_a_reason_has_a_person_and_a_day(job, manager):
    order = enter(job, manager)
    with pytest.raises(IntegrityError), transaction.atomic():
        PurchaseOrder.objects.filter(pk=order.pk).update(resolution="because")
