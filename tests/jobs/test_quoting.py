"""Several people at once on one quote, with real threads and real commits."""

from collections.abc import Callable
from typing import Any

import pytest

from jobs.models import Decision, Quote
from jobs.quoting.actions import add_item, edit_terms, revise_quote
from jobs.quoting.decisions import decide_quote, offer_quote, withdraw_quote
from jobs.quoting.digest import quote_digest
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.pricing import Kind, PricedInput
from tests import racing
from tests.factories import make_draft_quote
from tests.jobs.quoting import rescue_van as van

pytestmark = pytest.mark.slow
ROUNDS = 20
APPROVED, DECLINED = Decision.Answer.APPROVED, Decision.Answer.DECLINED


@pytest.fixture
def office(append_only, shared_database, shop, manager):
    """A manager in a shop whose database other threads can open."""
    return manager


def race(*calls: Callable[[], Any]) -> list[Any]:
    return racing.race(*calls, refusals=QuoteError)


def fresh(quote: Quote) -> Quote:
    """Each thread works on its own copy of the row, as each request does."""
    return Quote.objects.select_related("job__agency").get(pk=quote.pk)


def offered(by: Any) -> Quote:
    quote = make_draft_quote(by=by)
    return offer_quote(quote=quote, version=quote.version, by=by)


def answer(quote: Quote, word: str, name: str) -> Callable[[], Decision]:
    copy = fresh(quote)
    return lambda: decide_quote(quote=copy, answer=word, name=name, digest=copy.digest)


def adding(quote: Quote, item: PricedInput, by: Any) -> Callable[[], Any]:
    copy = fresh(quote)
    return lambda: add_item(quote=copy, version=copy.version, by=by, item=item)


def test_approve_decline_and_withdraw_at_once_leave_one_outcome(office):
    outcomes = set()
    for _ in range(ROUNDS):
        quote = offered(office)
        copy = fresh(quote)
        answers = race(
            answer(quote, APPROVED, "Edda Quill"),
            answer(quote, APPROVED, "Ilse Marrow"),
            answer(quote, DECLINED, "Tobin Rask"),
            lambda copy=copy: withdraw_quote(quote=copy, by=office),
        )
        stored = fresh(quote)
        decisions = list(Decision.objects.filter(quote=quote))
        won = [one for one in answers if not isinstance(one, QuoteError)]
        assert len(won) == 1, answers
        if stored.state == "withdrawn":
            assert decisions == []
        else:
            (decision,) = decisions
            assert decision.answer == stored.state
            assert decision.digest == stored.digest == quote_digest(stored)
            pdf = stored.document.context[0]["data"]["sheet"]
            assert pdf["total_cents"] == stored.total_cents
        outcomes.add(stored.state)
    assert outcomes <= {"approved", "declined", "withdrawn"}


def test_two_managers_add_a_line_at_once_and_both_lines_end_up_in_the_quote(office):
    other = PricedInput(kind=Kind.FREIGHT, section="Freight", description="Second", unit_cents=100)
    for _ in range(ROUNDS):
        quote = make_draft_quote(by=office)
        items = (van.freight(), other)
        answers = race(*(adding(quote, item, office) for item in items))
        (told,) = [place for place, one in enumerate(answers) if isinstance(one, StaleError)]
        now = fresh(quote)
        add_item(quote=now, version=now.version, by=office, item=items[told])
        assert now.lines.filter(kind="freight").count() == 2
        assert now.total_cents == sum(line.amount_cents for line in now.lines.all())


def test_offer_and_edit_at_once_never_offer_what_nobody_saw(office):
    for _ in range(ROUNDS):
        quote = make_draft_quote(by=office)
        seen, total = quote.version, quote.total_cents
        mine, yours = fresh(quote), fresh(quote)
        answers = race(
            lambda copy=mine, seen=seen: offer_quote(quote=copy, version=seen, by=office),
            lambda copy=yours, seen=seen: edit_terms(
                quote=copy, version=seen, by=office, fields={"discount_bp": 5_000}
            ),
        )
        stored = fresh(quote)
        assert sum(isinstance(one, QuoteError) for one in answers) == 1
        if stored.state == "offered":
            assert (stored.total_cents, stored.discount_bp) == (total, 0)
            assert stored.digest == quote_digest(stored)
        else:
            assert (stored.state, stored.discount_bp) == ("draft", 5_000)


def test_offer_of_the_next_revision_and_approval_of_this_one_at_once(office):
    for _ in range(ROUNDS):
        first = offered(office)
        second = revise_quote(quote=first, by=office)
        copy = fresh(second)
        approval, offer = race(
            answer(first, APPROVED, "Edda Quill"),
            lambda copy=copy: offer_quote(quote=copy, version=copy.version, by=office),
        )
        assert not isinstance(offer, QuoteError)
        was_approved = not isinstance(approval, QuoteError)
        assert fresh(first).state == ("approved" if was_approved else "superseded")
        assert Decision.objects.filter(quote=first).count() == was_approved
        assert fresh(second).state == "offered"
