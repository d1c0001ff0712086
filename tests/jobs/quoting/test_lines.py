"""What is stored is what the rules say, for any quote."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.models import Quote
from jobs.quoting.actions import draft_quote
from jobs.quoting.digest import quote_digest
from jobs.quoting.documents import request_quote_pdf
from jobs.quoting.lines import given_lines, item_of, terms_of
from jobs.quoting.pricing import Kind, price
from jobs.quoting.sheet import quote_sheet
from tests.factories import make_draft_quote, make_job
from tests.jobs.quoting.test_pricing import inputs

ITEMS = st.lists(inputs(), max_size=6)
OPTIONS = st.lists(inputs(kinds=(Kind.OPTION,), signed=True), max_size=3)


@settings(
    max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None
)
@given(
    items=ITEMS,
    options=OPTIONS,
    discount=st.integers(0, 10_000),
    tax=st.integers(1, 2_500),
)
def test_total_stored_is_sum_of_lines_is_total_shown_is_total_printed(
    manager, items, options, discount, tax
):
    quote = draft_quote(
        job=make_job(), lines=[*items, *options], by=manager, discount_bp=discount, tax_bp=tax
    )
    stored = Quote.objects.get(pk=quote.pk)
    counted = [one.amount_cents for one in stored.lines.all() if one.kind != "option" or one.chosen]
    sheet = quote_sheet(stored)
    printed = request_quote_pdf(stored).context[0]["data"]["sheet"]
    assert stored.total_cents == sum(counted)
    assert stored.total_cents == sheet.total_cents == printed["total_cents"]
    assert stored.total_cents == sum(total.cents for total in sheet.totals if total.counts)
    assert (
        stored.total_cents
        == price([item_of(row) for row in given_lines(stored)], terms_of(stored)).total_cents
    )


def test_exempt_quote_ignores_a_tax_rate_that_was_typed(manager):
    quote = make_draft_quote(by=manager, tax_bp=800)
    assert terms_of(quote).tax_bp == 0


def test_every_priced_fact_changes_the_digest(manager):
    quote = make_draft_quote(by=manager)
    before = quote_digest(quote)
    for change in (
        {"quantity": 3},
        {"unit_cents": 1},
        {"minutes": 1},
        {"amount_cents": 1},
        {"tax_cents": 1},
        {"taxable": False},
        {"description": "Other"},
        {"position": 99},
    ):
        row = quote.lines.get(ref="L01")
        old = {name: getattr(row, name) for name in change}
        quote.lines.filter(pk=row.pk).update(**change)
        assert quote_digest(quote) != before, change
        quote.lines.filter(pk=row.pk).update(**old)
    assert quote_digest(quote) == before
    for name, value in {"valid_until": "2199-01-01", "exclusions": "x", "total_cents": 1}.items():
        copy = Quote.objects.get(pk=quote.pk)
        setattr(copy, name, value)
        assert quote_digest(copy) != before, name
