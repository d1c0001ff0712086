"""Double clicks and people at the same moment: one wins, the others get a sentence."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.contrib.auth.models import User

from jobs.buying import actions as buying
from jobs.buying.actions import BuyingError
from jobs.changes.actions import apply_change, set_edits
from jobs.intake.models import Job, Unit
from jobs.invoicing import actions as invoicing
from jobs.invoicing.actions import InvoiceError
from jobs.kits.actions import KitError, add_kit, make_kit, start_from
from jobs.models import Purchase, StockMove, Supplier
from jobs.planning.actions import PlanError, keep_plan, work_out
from jobs.quoting.changes import decide_change, draft_change, offer_change, withdraw_change
from jobs.quoting.errors import QuoteError
from jobs.quoting.orders import enter_order
from tests.factories import (
    make_approved_quote,
    make_exempt_agency,
    make_job,
    make_line,
    make_part,
    make_unit,
    make_wired_job,
    make_working_unit,
)
from tests.racing import race

pytestmark = pytest.mark.slow
ROUNDS = 5
REFUSED = (BuyingError, InvoiceError, KitError, PlanError, QuoteError)


@pytest.fixture
def office(append_only, shared_database, shop, manager) -> User:
    """A manager in a shop whose database other threads can open."""
    return manager


def won(*calls: Callable[[], Any]) -> int:
    """How many of them were not refused."""
    return sum(not isinstance(one, REFUSED) for one in race(*calls, refusals=REFUSED))


def twice(call: Callable[[], Any]) -> int:
    return won(call, call, call)


def order(by: User, *, parts: int = 1, pieces: int = 2) -> Purchase:
    supplier = Supplier.objects.create(name=f"Supplier {Supplier.objects.count()}")
    rows = [make_part() for _ in range(parts)]
    (made,) = buying.order_parts(
        wanted=dict.fromkeys(rows, pieces), suppliers=dict.fromkeys(rows, supplier), by=by
    )
    return made


def sent(by: User, **given: int) -> Purchase:
    made = order(by, **given)
    made.refresh_from_db()
    buying.send_purchase(purchase=made, version=made.version, expected_on=None, by=by)
    return Purchase.objects.get(pk=made.pk)


def coming(line: Any, by: User, pieces: int = 2) -> Callable[[], Any]:
    copy = type(line).objects.select_related("purchase", "part__current").get(pk=line.pk)
    return lambda: buying.receive(line=copy, pieces=pieces, serials=(), seen=0, by=by)


def test_the_last_line_that_comes_closes_the_order_whoever_books_it(office):
    for _ in range(ROUNDS):
        purchase = sent(office, parts=3)
        assert won(*(coming(line, office) for line in purchase.lines.all())) == 3
        purchase.refresh_from_db()
        assert purchase.state == Purchase.State.RECEIVED


def test_pieces_are_received_once(office):
    for _ in range(ROUNDS):
        purchase = sent(office)
        line = purchase.lines.get()
        assert won(*(coming(line, office) for _ in range(3))) == 1
        assert buying.in_stock(line.part) == 2


def test_an_order_is_cancelled_or_received_and_never_both(office):
    for _ in range(ROUNDS):
        purchase = sent(office)
        line = purchase.lines.get()
        copy = Purchase.objects.get(pk=purchase.pk)
        calls = (
            coming(line, office),
            lambda copy=copy: buying.cancel_purchase(purchase=copy, by=office),
        )
        assert won(*calls) == 1
        purchase.refresh_from_db()
        here = buying.in_stock(line.part)
        assert (purchase.state, here) in {("cancelled", 0), ("received", 2)}


def test_what_is_sent_is_what_was_looked_at(office):
    for _ in range(ROUNDS):
        purchase, other = order(office), make_part()
        purchase.refresh_from_db()
        copy, supplier = Purchase.objects.get(pk=purchase.pk), purchase.supplier
        won(
            lambda copy=copy: buying.send_purchase(
                purchase=copy, version=copy.version, expected_on=None, by=office
            ),
            lambda other=other, supplier=supplier: buying.order_parts(
                wanted={other: 1}, suppliers={other: supplier}, by=office
            ),
        )
        for one in supplier.purchases.filter(state=Purchase.State.SENT):
            assert one.lines.count() == 1, "a part slipped onto an order that had gone out"


def test_two_who_order_from_the_same_suppliers_do_not_wait_for_each_other(office):
    suppliers = [Supplier.objects.create(name=f"Both {n}") for n in range(2)]
    first, second = make_part(), make_part()
    for _ in range(ROUNDS):
        here, there = (
            dict(zip((first, second), suppliers, strict=True)),
            dict(zip((second, first), reversed(suppliers), strict=True)),
        )
        calls = (
            lambda to=to: buying.order_parts(wanted=dict.fromkeys(to, 3), suppliers=to, by=office)
            for to in (here, there)
        )
        assert won(*calls) == 2


def test_a_count_and_a_pick_are_written_once(office):
    for _ in range(ROUNDS):
        line = make_line(job=make_job(), quantity=2)
        part, unit = line.part.part, make_unit(job=line.job)
        counting = lambda part=part: buying.count_stock(  # noqa: E731
            part=part, found=5, seen=0, note="", by=office
        )
        assert twice(counting) == 1
        picking = lambda line=line, unit=unit: buying.pick(  # noqa: E731
            line=line, unit=unit, pieces=2, seen=0, by=office
        )
        assert twice(picking) == 1
        assert StockMove.objects.filter(part=part).count() == 2
        assert buying.in_stock(part) == 3


def test_a_substitute_is_accepted_once(office):
    for _ in range(3):
        line, part = make_line(job=make_job()), make_part()
        calls = lambda line=line, code=part.code: buying.substitute(  # noqa: E731
            line=line, part_code=code, version=0, reason="x", by=office
        )
        assert twice(calls) == 1
        line.refresh_from_db()
        assert line.part.part == part


def sold(by: User, **terms: Any) -> Unit:
    unit = make_unit(job=make_job(agency=make_exempt_agency()))
    make_approved_quote(by=by, job=unit.job, **terms)
    return unit


def test_every_invoice_is_issued_once_and_paid_once(office, monkeypatch):
    monkeypatch.setattr(invoicing, "ACCEPTED", [lambda unit: date(2026, 6, 9)])
    for _ in range(ROUNDS):
        unit = sold(office, deposit_bp=1_000)
        job = unit.job
        assert twice(lambda job=job: invoicing.issue_deposit(job=job, by=office)) == 1
        assert twice(lambda unit=unit: invoicing.issue_for_unit(unit=unit, by=office)) == 1
        invoice = job.invoices.get(kind="unit")
        today = invoice.issued_on
        pay = lambda row=invoice, on=today: invoicing.enter_payment(  # noqa: E731
            invoice=row, on=on, by=office
        )
        assert twice(pay) == 1


def test_an_order_of_the_agency_is_entered_once(office):
    for _ in range(ROUNDS):
        job = sold(office).job
        enter = lambda job=job: enter_order(  # noqa: E731
            job=job, number="PO-1", revision="A", total_cents=1, bill_to="x",
            received_on=date(2026, 6, 9), by=office,
        )  # fmt: skip
        assert twice(enter) == 1


def test_a_change_is_answered_once_or_withdrawn_and_put_on_the_sheet_once(office):
    for _ in range(ROUNDS):
        job = sold(office).job
        line = make_line(job=job)
        change = draft_change(job=job, title="x", reason="customer", by=office)
        edits = [{"op": "quantity", "ref": line.ref, "from": 1, "to": 3}]
        set_edits(change=change, version=change.version, edits=edits, by=office)
        offer_change(change=change, version=change.version, by=office)
        copies = [type(change).objects.get(pk=change.pk) for _ in range(3)]
        answers = [
            lambda row=copies[0]: decide_change(
                change=row, answer="approved", name="Edda Quill", digest=row.digest
            ),
            lambda row=copies[1]: decide_change(
                change=row, answer="declined", name="Ilse Marrow", digest=row.digest
            ),
            lambda row=copies[2]: withdraw_change(change=row, by=office),
        ]
        assert won(*answers) == 1
        change.refresh_from_db()
        rows = [type(change).objects.get(pk=change.pk) for _ in range(3)]
        done = won(*(lambda row=row: apply_change(change=row, by=office) for row in rows))
        assert done == (change.state == "approved")
        line.refresh_from_db()
        assert line.quantity == (3 if done else 1)


def test_a_kit_and_an_earlier_job_come_once(office):
    source = make_wired_job()
    kit = make_kit(job=source, code="WARN", name="Warning", lines={"L01"}, by=office)
    for _ in range(3):
        job, other = make_job(), make_job()
        add = lambda job=job: add_kit(job=job, revision=kit, seen=0, by=office)  # noqa: E731
        assert twice(add) == 1
        copy = lambda job=other: start_from(job=job, source=source, by=office)  # noqa: E731
        assert twice(copy) == 1
        assert (job.lines.count(), other.lines.count()) == (1, 1)


def test_two_who_make_a_kit_of_one_code_make_one(office):
    job = make_wired_job()
    make = lambda: make_kit(job=job, code="TWO", name="x", lines={"L01"}, by=office)  # noqa: E731
    assert twice(make) == 1


def test_a_plan_is_kept_once(office, monkeypatch):
    monkeypatch.setattr("jobs.planning.actions.REQUEST_SECONDS", 0.5)
    unit = make_working_unit(by=office)
    Job.objects.filter(pk=unit.job_id).update(promised_on=date(2099, 1, 1))
    for _ in range(3):
        run = work_out(by=office)
        assert twice(lambda run=run: keep_plan(run=run, by=office)) == 1
