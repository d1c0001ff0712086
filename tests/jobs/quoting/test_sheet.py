"""What people read of a quote, with and without money."""

from dataclasses import replace
from decimal import Decimal

import pytest

from jobs.quoting.actions import add_item, change_item
from jobs.quoting.changes import draft_change
from jobs.quoting.lines import item_of
from jobs.quoting.sheet import change_sheet, hours_words, quantity_words, quote_sheet
from tests.factories import make_approved_quote, make_draft_quote
from tests.jobs.quoting import rescue_van as van


@pytest.fixture
def quote(manager):
    quote = make_draft_quote(by=manager, discount_bp=2_200)
    for item in (van.freight(), van.one_off(), van.second_charger(), van.delete_camera()):
        add_item(quote=quote, version=quote.version, by=manager, item=item)
        quote.refresh_from_db()
    return quote


def test_sections_stand_in_the_order_people_read_them(quote):
    assert [section.title for section in quote_sheet(quote).sections] == [
        "Warning lights",
        "Radio",
        "Labour",
        "One-off engineering",
        "Shop supplies",
        "Freight",
    ]


def test_from_list_price_to_total(quote):
    sheet = quote_sheet(quote)
    assert [(one.label, one.cents, one.counts) for one in sheet.totals] == [
        ("Parts at list price", 490_000, False),
        ("Contract discount, 22 %", -107_800, False),
        ("Parts, net", 382_200, True),
        ("Installation labour, 7.5 h", 88_500, True),
        ("Design, programming and first-article checks, 28 h", 330_400, True),
        ("Shop supplies", 11_466, True),
        ("Freight", 185_000, True),
    ]
    assert sum(one.cents for one in sheet.totals if one.counts) == sheet.total_cents


def test_a_taken_option_has_its_own_line_in_the_summary(quote, manager):
    row = quote.lines.get(code="O-1")
    change_item(row=row, version=quote.version, by=manager, item=replace(item_of(row), chosen=True))
    quote.refresh_from_db()
    sheet = quote_sheet(quote)
    assert [row.code for row in sheet.taken] == ["O-1"]
    assert [row.code for row in sheet.options] == ["O-2"]
    assert sheet.totals[-1].label == "Options taken"
    assert sum(one.cents for one in sheet.totals if one.counts) == sheet.total_cents


def test_without_money_no_amount_leaves(quote):
    sheet = quote_sheet(quote, money=False)
    rows = [row for section in sheet.sections for row in section.rows]
    rows += [*sheet.options, *sheet.taken]
    assert sheet.total_cents is None
    assert sheet.totals == ()
    assert {section.amount_cents for section in sheet.sections} == {None}
    for row in rows:
        hidden = (row.unit_cents, row.discount_bp, row.amount_cents, row.tax_cents, row.notes)
        assert hidden == (None, None, None, None, ())
    assert not {row.kind for row in rows} & {"supplies", "freight", "tax"}


def test_a_change_reads_like_a_quote(manager):
    quote = make_approved_quote(by=manager, discount_bp=2_200)
    change = draft_change(
        job=quote.job, title="x", reason="customer", by=manager, lines=van.more_ground_lights()
    )
    sheet = change_sheet(change)
    assert sheet.total_cents == 19_513
    assert sheet.minutes == 60
    assert change_sheet(change, money=False).total_cents is None


@pytest.mark.parametrize(
    ("quantity", "words"), [("2.00", "2"), ("1.50", "1.5"), ("0.00", "0"), ("-1.00", "-1")]
)
def test_quantities_have_no_tail(quantity, words):
    assert quantity_words(Decimal(quantity)) == words


@pytest.mark.parametrize(("minutes", "words"), [(90, "1.5 h"), (20, "0.33 h"), (600, "10 h")])
def test_hours_are_decimal(minutes, words):
    assert hours_words(minutes) == words
