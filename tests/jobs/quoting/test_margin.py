from decimal import Decimal

from jobs.quoting.actions import draft_quote
from jobs.quoting.margin import margin_of
from jobs.quoting.pricing import Kind, PricedInput
from tests.factories import make_draft_quote, make_job


def test_margin_counts_lines_with_a_known_cost_only(manager):
    margin = margin_of(make_draft_quote(by=manager, discount_bp=1_000))
    assert (margin.net_cents, margin.cost_cents, margin.cents) == (360_000, 240_000, 120_000)
    assert (margin.known, margin.unknown, margin.basis_points) == (1, 1, 3_333)


def test_margin_of_nothing_has_no_share(manager):
    margin = margin_of(make_draft_quote(by=manager, lines=[]))
    assert (margin.known, margin.basis_points) == (0, None)


def test_sublet_work_sold_below_cost_is_a_loss(manager):
    item = PricedInput(
        kind=Kind.SUBLET,
        section="Sublet",
        description="Graphics",
        quantity=Decimal(1),
        unit_cents=1_000,
        cost_cents=1_500,
    )
    margin = margin_of(draft_quote(job=make_job(), lines=[item], by=manager))
    assert (margin.cents, margin.basis_points) == (-500, -5_000)
