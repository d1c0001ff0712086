"""Change orders: priced like the quote, offered, answered once; the contract follows."""

from dataclasses import replace
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.models import ChangeOrder, Decision
from jobs.quoting.actions import draft_quote
from jobs.quoting.change_lines import items_of
from jobs.quoting.changes import (
    decide_change,
    draft_change,
    edit_change,
    offer_change,
    set_change_lines,
    withdraw_change,
)
from jobs.quoting.contract import contract_of
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.errors import DecidedError, QuoteError, StaleError
from tests.factories import make_exempt_agency, make_job, make_offered_quote
from tests.jobs.quoting import rescue_van as van

APPROVED = Decision.Answer.APPROVED


@pytest.fixture
def job(manager):
    job = make_job(agency=make_exempt_agency())
    quote = draft_quote(job=job, lines=van.revision_b(), by=manager, discount_bp=2_200)
    offer_quote(quote=quote, version=quote.version, by=manager)
    decide_quote(quote=quote, answer=APPROVED, name="Edda Quill", digest=quote.digest)
    return job


def lights(job, by, **changes):
    given = {"title": "Perimeter lights 6 to 8", "reason": "customer", **changes}
    return draft_change(job=job, by=by, lines=van.more_ground_lights(), **given)


def offered(job, by):
    change = lights(job, by)
    return offer_change(change=change, version=change.version, by=by)


def approve(change, **changes):
    given = {"answer": APPROVED, "name": "Edda Quill", "digest": change.digest, **changes}
    return decide_change(change=change, **given)


def test_two_lights_cost_what_the_demo_says_and_make_the_contract(job, manager):
    change = offered(job, manager)
    assert (str(change), change.amount_cents) == ("CO-01", 19_513)
    assert contract_of(job).total_cents == 7_816_151
    approve(change, amendment="1")
    assert contract_of(job).total_cents == 7_835_664


def test_a_change_may_cost_nothing(job, manager):
    change = draft_change(job=job, title="Router late", reason="discovery", days=1, by=manager)
    change = offer_change(change=change, version=change.version, by=manager)
    approve(change)
    assert (change.amount_cents, change.state) == (0, "approved")


def test_a_change_may_take_something_out(job, manager):
    (lamp,) = van.more_ground_lights()
    out = replace(lamp, quantity=Decimal(-2), minutes=-60)
    change = draft_change(job=job, title="Fewer", reason="customer", by=manager, lines=[out])
    assert change.amount_cents == -19_513


def test_there_is_no_change_before_an_approval(manager):
    quote = make_offered_quote(by=manager)
    with pytest.raises(QuoteError, match="has no approved quote yet"):
        draft_change(job=quote.job, title="x", reason="customer", by=manager)


def test_numbers_count_up_per_job(job, manager):
    assert [lights(job, manager).number for _ in range(3)] == [1, 2, 3]


def test_stored_lines_give_the_inputs_back(job, manager):
    change = ChangeOrder.objects.get(pk=lights(job, manager).pk)
    assert items_of(change) == van.more_ground_lights()
    assert sum(line["amount_cents"] for line in change.lines) == change.amount_cents


def test_lines_and_facts_of_a_draft_can_change(job, manager):
    change = lights(job, manager)
    set_change_lines(change=change, version=change.version, lines=[], by=manager)
    assert change.amount_cents == 0
    edit_change(
        change=change, version=change.version, title="None", reason="error", asked_by="",
        days=2, note="", by=manager,
    )  # fmt: skip
    change.refresh_from_db()
    assert (change.title, change.days) == ("None", 2)


def test_an_offered_change_is_frozen(job, manager):
    change = offered(job, manager)
    with pytest.raises(StaleError, match="waiting for approval; it stays as it is"):
        set_change_lines(change=change, version=change.version, lines=[], by=manager)


def test_two_managers_edit_at_once_and_the_second_is_told(job, manager):
    change = lights(job, manager)
    seen = change.version
    set_change_lines(change=change, version=seen, lines=[], by=manager)
    with pytest.raises(StaleError, match="Somebody else changed CO-01"):
        offer_change(change=change, version=seen, by=manager)


def test_second_answer_is_told_the_first(job, manager):
    change = offered(job, manager)
    approve(change)
    with pytest.raises(DecidedError, match="CO-01 is approved already, by Edda Quill"):
        approve(change, answer="declined")


def test_answer_to_another_digest_is_refused(job, manager):
    change = offered(job, manager)
    with pytest.raises(StaleError, match="not the one that was shown"):
        approve(change, digest="x")


def test_lines_changed_behind_our_back_stop_the_approval(job, manager):
    change = offered(job, manager)
    ChangeOrder.objects.filter(pk=change.pk).update(amount_cents=1)
    with pytest.raises(QuoteError, match="not those that were offered"):
        approve(change)


def test_withdrawn_change_cannot_be_approved(job, manager):
    change = offered(job, manager)
    withdraw_change(change=change, by=manager)
    with pytest.raises(QuoteError, match="is withdrawn"):
        approve(change)
    with pytest.raises(StaleError, match="it stays so"):
        withdraw_change(change=change, by=manager)


def test_declined_change_stays_out_of_the_contract(job, manager):
    approve(offered(job, manager), answer="declined")
    assert contract_of(job).total_cents == 7_816_151


def test_answer_on_paper_has_a_day_not_before_the_offer(job, manager):
    change = offered(job, manager)
    early = timezone.localdate().replace(year=2020, day=1)
    with pytest.raises(QuoteError, match="before the offer"):
        approve(change, by=manager, signed_on=early)
    assert approve(change, by=manager, signed_on=timezone.localdate()).recorded_by == "Mona Ash"


def test_one_change_has_one_decision(job, manager):
    change = offered(job, manager)
    approve(change)
    with pytest.raises(IntegrityError), transaction.atomic():
        Decision.objects.create(change=change, answer=APPROVED, name="x", digest="x")
