"""Offering and answering: once, bound to what was shown, and within its validity."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from jobs.models import AuditEvent, Decision, Job, Quote
from jobs.quoting.actions import edit_terms, revise_quote
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote, withdraw_quote
from jobs.quoting.digest import quote_digest
from jobs.quoting.errors import DecidedError, QuoteError, StaleError
from jobs.quoting.orders import enter_order
from tests.factories import make_draft_quote, make_exempt_agency, make_job

APPROVED, DECLINED = Decision.Answer.APPROVED, Decision.Answer.DECLINED


@pytest.fixture
def offered(manager):
    quote = make_draft_quote(by=manager)
    return offer_quote(quote=quote, version=quote.version, by=manager)


def approve(quote, **changes):
    given = {"answer": APPROVED, "name": "Edda Quill", "digest": quote.digest, **changes}
    return decide_quote(quote=quote, **given)


# Offering


def test_offer_freezes_digest_certificate_and_document(offered, manager):
    assert offered.state == Quote.State.OFFERED
    assert offered.digest == quote_digest(offered)
    assert offered.certificate == "NTM-EX-0917, State of Northmere, valid until 31 Dec 2099"
    assert offered.offered_by == manager
    assert offered.document.kind == "quote"
    assert offered.document.context[0]["data"]["sheet"]["total_cents"] == offered.total_cents
    assert Job.objects.get(pk=offered.job_id).state == Job.State.QUOTED


def test_offer_supersedes_the_earlier_offer(offered, manager):
    new = revise_quote(quote=offered, by=manager)
    offer_quote(quote=new, version=new.version, by=manager)
    offered.refresh_from_db()
    assert offered.state == Quote.State.SUPERSEDED


def test_offer_is_refused_when_somebody_changed_the_draft(manager):
    quote = make_draft_quote(by=manager)
    seen = quote.version
    edit_terms(quote=quote, version=seen, by=manager, fields={"discount_bp": 1_000})
    with pytest.raises(StaleError, match="Somebody else changed"):
        offer_quote(quote=quote, version=seen, by=manager)


def test_offering_twice_loses_quietly(offered, manager):
    with pytest.raises(StaleError, match="is offered already"):
        offer_quote(quote=offered, version=offered.version, by=manager)


def test_a_blocked_offer_changes_nothing(manager):
    quote = make_draft_quote(by=manager, lines=[])
    with pytest.raises(QuoteError, match="has no lines"):
        offer_quote(quote=quote, version=quote.version, by=manager)
    quote.refresh_from_db()
    assert (quote.state, quote.digest, quote.document) == ("draft", "", None)


def test_an_offer_made_on_paper_is_judged_by_its_own_day(manager):
    quote = make_draft_quote(by=manager, price_date=date(2026, 3, 20))
    offer_quote(
        quote=quote,
        version=quote.version,
        by=manager,
        at=timezone.make_aware(timezone.datetime(2026, 3, 20, 9, 0)),
    )
    assert timezone.localdate(quote.offered_at) == date(2026, 3, 20)


# Answering


def test_approval_updates_quote_job_decision_and_history(offered):
    decision = approve(offered, ip="192.0.2.7", comment="Thanks")
    offered.refresh_from_db()
    assert offered.state == Quote.State.APPROVED
    assert Job.objects.get(pk=offered.job_id).state == Job.State.APPROVED
    assert (decision.name, decision.digest, decision.ip) == (
        "Edda Quill",
        offered.digest,
        "192.0.2.7",
    )
    event = AuditEvent.objects.get(verb="approved")
    assert event.who == "Edda Quill"
    assert "approved by Edda Quill" in event.sentence


def test_second_approval_is_told_by_whom_and_when(offered):
    approve(offered)
    with pytest.raises(DecidedError, match="is approved already, by Edda Quill on") as told:
        approve(offered, name="Ilse Marrow")
    assert told.value.decision.name == "Edda Quill"
    assert Decision.objects.count() == 1


def test_decline_keeps_the_comment_and_leaves_the_job_open(offered):
    decision = approve(offered, answer=DECLINED, comment="Too late for the season")
    offered.refresh_from_db()
    assert (offered.state, decision.comment) == ("declined", "Too late for the season")
    assert Job.objects.get(pk=offered.job_id).state == Job.State.QUOTED


def test_answer_to_another_digest_is_refused(offered):
    with pytest.raises(StaleError, match="not the one that was shown"):
        approve(offered, digest="0" * 64)
    assert not Decision.objects.exists()


def test_expired_quote_cannot_be_approved(offered):
    Quote.objects.filter(pk=offered.pk).update(valid_until=timezone.localdate() - timedelta(1))
    offered.refresh_from_db()
    Quote.objects.filter(pk=offered.pk).update(digest=quote_digest(offered))
    offered.refresh_from_db()
    with pytest.raises(QuoteError, match="was valid until"):
        approve(offered)


def test_a_quote_is_valid_on_its_last_day(manager):
    quote = make_draft_quote(by=manager, valid_until=timezone.localdate())
    offer_quote(quote=quote, version=quote.version, by=manager)
    assert approve(quote).answer == APPROVED


def test_an_expired_quote_may_be_declined(offered):
    yesterday = timezone.localdate() - timedelta(1)
    Quote.objects.filter(pk=offered.pk).update(valid_until=yesterday)
    offered.refresh_from_db()
    Quote.objects.filter(pk=offered.pk).update(digest=quote_digest(offered))
    offered.refresh_from_db()
    assert approve(offered, answer=DECLINED).answer == DECLINED


def test_lines_changed_behind_our_back_stop_the_approval(offered):
    offered.lines.filter(ref="L01").update(amount_cents=1)
    with pytest.raises(QuoteError, match="not those that were offered"):
        approve(offered)


@pytest.mark.parametrize("state", ["draft", "superseded", "withdrawn"])
def test_only_an_offered_revision_can_be_answered(offered, state):
    Quote.objects.filter(pk=offered.pk).update(state=state)
    with pytest.raises(QuoteError, match="cannot be answered"):
        approve(offered)


def test_withdrawn_offer_cannot_be_approved(offered, manager):
    withdraw_quote(quote=offered, by=manager)
    with pytest.raises(QuoteError, match="is withdrawn"):
        approve(offered)


def test_approved_quote_cannot_be_withdrawn(offered, manager):
    approve(offered)
    with pytest.raises(StaleError, match="is approved; it stays so"):
        withdraw_quote(quote=offered, by=manager)


def test_approving_a_later_revision_supersedes_the_earlier_approval(offered, manager):
    approve(offered)
    new = revise_quote(quote=offered, by=manager)
    offer_quote(quote=new, version=new.version, by=manager)
    approve(new)
    states = dict(offered.job.quotes.values_list("revision", "state"))
    assert states == {"A": "superseded", "B": "approved"}


def test_approved_changes_stop_a_later_revision(offered, manager):
    approve(offered)
    change = draft_change(job=offered.job, title="Two lights", reason="customer", by=manager)
    offer_change(change=change, version=change.version, by=manager)
    decide_change(change=change, answer=APPROVED, name="Edda Quill", digest=change.digest)
    new = revise_quote(quote=offered, by=manager)
    with pytest.raises(QuoteError, match="CO-01 is approved on revision A"):
        offer_quote(quote=new, version=new.version, by=manager)


def test_approval_on_paper_names_who_wrote_it_down(offered, manager):
    decision = approve(offered, by=manager, signed_on=timezone.localdate())
    assert (decision.name, decision.recorded_by) == ("Edda Quill", "Mona Ash")
    assert AuditEvent.objects.get(verb="approved").who == "Mona Ash"


def test_paper_signed_in_time_counts_although_it_came_late(manager):
    quote = make_draft_quote(by=manager, price_date=date(2026, 3, 20))
    at = timezone.make_aware(timezone.datetime(2026, 3, 20, 9, 0))
    offer_quote(quote=quote, version=quote.version, by=manager, at=at)
    with pytest.raises(QuoteError, match="was valid until 4 May 2026"):
        approve(quote, by=manager, signed_on=date(2026, 5, 5))
    assert approve(quote, by=manager, signed_on=date(2026, 5, 4)).answer == APPROVED


def test_approval_lets_a_waiting_order_go(offered, manager):
    order = enter_order(
        job=offered.job,
        number="77-3316",
        revision="A",
        total_cents=offered.total_cents,
        bill_to=offered.job.agency.bill_to,
        received_on=timezone.localdate(),
        by=manager,
    )
    assert order.held
    approve(offered)
    order.refresh_from_db()
    assert (order.held, order.mismatches) == (False, [])


# The table itself


def test_there_is_one_decision_per_quote(offered):
    approve(offered)
    with pytest.raises(IntegrityError), transaction.atomic():
        Decision.objects.create(quote=offered, answer=DECLINED, name="x", digest="x")


def test_a_decision_has_one_subject(db):
    with pytest.raises(IntegrityError), transaction.atomic():
        Decision.objects.create(answer=APPROVED, name="x", digest="x")


@pytest.mark.parametrize(
    "sql", ["UPDATE jobs_decision SET name = 'x'", "DELETE FROM jobs_decision"]
)
def test_a_decision_is_for_ever(offered, sql):
    approve(offered)
    with (
        pytest.raises(Exception, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)


def test_one_job_has_one_draft(manager):
    quote = make_draft_quote(by=manager)
    fields = {"number": "x", "revision": "Z", "labour_rate_cents": 0}
    dates = {"price_date": date(2026, 1, 1), "valid_until": date(2026, 2, 1)}
    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.create(job=quote.job, **fields, **dates)


def test_a_second_job_may_have_its_own_offer(offered, manager):
    other = make_draft_quote(by=manager, job=make_job(agency=make_exempt_agency()))
    assert offer_quote(quote=other, version=other.version, by=manager).state == "offered"
