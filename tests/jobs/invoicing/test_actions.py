from datetime import date

import pytest

from jobs.invoicing import actions
from jobs.invoicing.actions import InvoiceError, enter_payment, issue_balance, issue_deposit
from jobs.invoicing.actions import issue_for_unit as issue
from jobs.invoicing.costs import costs_of
from jobs.invoicing.export import invoices_csv
from jobs.models import Invoice, Unit
from jobs.quoting.actions import edit_terms, revise_quote
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.pricing import Kind, PricedInput
from tests.factories import make_approved_quote, make_exempt_agency, make_job, make_unit

pytestmark = pytest.mark.django_db


@pytest.fixture
def accepted(monkeypatch):
    days = {}
    monkeypatch.setattr(actions, "ACCEPTED", [lambda unit: days.get(unit.pk)])
    return days


def sold(manager, units=1, **terms):
    job = make_job(agency=make_exempt_agency())
    rows = [make_unit(job=job, number=f"U-{n}") for n in range(units)]
    quote = make_approved_quote(by=manager, job=job, unit_count=units, **terms)
    return quote, rows


def change(job, cents, manager):
    line = PricedInput(kind=Kind.FREIGHT, section="Freight", description="x", unit_cents=cents)
    row = draft_change(job=job, title="x", reason="customer", by=manager, lines=[line])
    offer_change(change=row, version=row.version, by=manager)
    decide_change(change=row, answer="approved", name="Edda Quill", digest=row.digest)


def test_a_unit_is_invoiced_on_its_acceptance_and_once(manager, accepted):
    quote, (unit,) = sold(manager)
    with pytest.raises(InvoiceError, match="not acceptance"):
        issue(unit=unit, by=manager)
    accepted[unit.pk] = date(2026, 6, 9)
    invoice = issue(unit=unit, by=manager)
    assert invoice.due_cents == quote.total_cents
    assert invoice.document is not None
    with pytest.raises(InvoiceError, match="already"):
        issue(unit=unit, by=manager)


def test_units_deposit_and_a_late_change_add_up_to_the_contract(manager, accepted):
    quote, units = sold(manager, units=3, deposit_bp=1_000)
    deposit = issue_deposit(job=quote.job, by=manager)
    with pytest.raises(InvoiceError, match="already"):
        issue_deposit(job=quote.job, by=manager)
    for unit in units:
        accepted[unit.pk] = date(2026, 6, 9)
        issue(unit=unit, by=manager)
        if unit is units[0]:
            change(quote.job, 10_001, manager)
    invoices = Invoice.objects.filter(job=quote.job)
    assert sum(one.due_cents for one in invoices) == quote.total_cents + 10_001
    assert sum(one.credit_cents for one in invoices) == deposit.gross_cents
    with pytest.raises(InvoiceError, match="Nothing is left"):
        issue_balance(job=quote.job, by=manager)
    change(quote.job, -500, manager)
    assert issue_balance(job=quote.job, by=manager).due_cents == -500


def test_a_quote_for_one_is_the_price_of_each(manager, accepted):
    quote, (first,) = sold(manager)
    second = make_unit(job=quote.job, number="U-9")
    for unit in (first, second):
        accepted[unit.pk] = date(2026, 6, 9)
        assert issue(unit=unit, by=manager).due_cents == quote.total_cents


def test_a_unit_added_after_the_balance_pays_its_own_price_only(manager, accepted):
    quote, (first,) = sold(manager)
    second = make_unit(job=quote.job, number="U-9")
    for unit in (first, second):
        accepted[unit.pk] = date(2026, 6, 9)
        issue(unit=unit, by=manager)
    change(quote.job, 1_000, manager)
    assert issue_balance(job=quote.job, by=manager).due_cents == 2_000
    third = make_unit(job=quote.job, number="U-10")
    accepted[third.pk] = date(2026, 6, 9)
    assert issue(unit=third, by=manager).due_cents == quote.total_cents + 1_000


def test_a_deposit_is_taken_off_wholly_though_the_number_of_units_changes(manager, accepted):
    quote, units = sold(manager, units=3, deposit_bp=1_000)
    deposit = issue_deposit(job=quote.job, by=manager)
    for unit in units[:2]:
        accepted[unit.pk] = date(2026, 6, 9)
    issue(unit=units[0], by=manager)
    units[2].delete()
    fewer = revise_quote(quote=quote, by=manager)
    edit_terms(quote=fewer, version=fewer.version, by=manager, fields={"unit_count": 2})
    offer_quote(quote=fewer, version=fewer.version, by=manager)
    decide_quote(quote=fewer, answer="approved", name="Edda Quill", digest=fewer.digest)
    issue(unit=units[1], by=manager)
    invoices = Invoice.objects.filter(job=quote.job)
    assert sum(one.credit_cents for one in invoices) == deposit.gross_cents
    assert sum(one.due_cents for one in invoices) == fewer.total_cents


def test_a_deposit_that_no_unit_could_take_off_is_refused(manager, accepted):
    quote, (unit,) = sold(manager, deposit_bp=1_000)
    accepted[unit.pk] = date(2026, 6, 9)
    issue(unit=unit, by=manager)
    with pytest.raises(InvoiceError, match="no deposit can be taken off"):
        issue_deposit(job=quote.job, by=manager)


def test_nothing_is_owed_without_an_approval(manager, accepted):
    unit = make_unit()
    accepted[unit.pk] = date(2026, 6, 9)
    with pytest.raises(InvoiceError, match="no approved quote"):
        issue(unit=unit, by=manager)


def test_a_payment_is_entered_once(manager, accepted):
    _, (unit,) = sold(manager)
    accepted[unit.pk] = date(2026, 6, 9)
    invoice = issue(unit=unit, by=manager)
    with pytest.raises(InvoiceError, match="before the invoice"):
        enter_payment(invoice=invoice, on=date(2020, 1, 1), by=manager)
    enter_payment(invoice=invoice, on=invoice.issued_on, by=manager)
    with pytest.raises(InvoiceError, match="paid already"):
        enter_payment(invoice=invoice, on=invoice.issued_on, by=manager)


def test_the_export_runs_no_formula_and_keeps_negative_amounts(manager, accepted):
    _, (unit,) = sold(manager)
    accepted[unit.pk] = date(2026, 6, 9)
    invoice = issue(unit=unit, by=manager)
    Unit.objects.filter(pk=unit.pk).update(number="@SUM(A1)")
    Invoice.objects.filter(pk=invoice.pk).update(bill_to='=HYPERLINK("x")', due_cents=-1_250)
    text = invoices_csv(Invoice.objects.all())
    assert ',"=HYPER' not in text
    assert ",=HYPER" not in text
    assert ",'@SUM(A1)," in text
    assert "-12.50" in text


def test_costs_compare_planned_with_booked(manager):
    quote, _ = sold(manager)
    found = costs_of(quote.job)
    assert (found.contract_cents, found.booked_minutes, found.picked_parts_cents) == (
        quote.total_cents, 0, 0,
    )  # fmt: skip
