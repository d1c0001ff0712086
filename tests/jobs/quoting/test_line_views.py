"""Lines of a draft through the browser's forms."""

from decimal import Decimal

import pytest
from django.urls import reverse

from jobs.models import Quote
from jobs.quoting.actions import add_item, draft_quote
from jobs.quoting.lines import item_of
from tests.factories import make_draft_quote, make_offered_quote
from tests.jobs.quoting import rescue_van as van


@pytest.fixture
def draft(manager, client):
    client.force_login(manager)
    return make_draft_quote(by=manager, discount_bp=2_200)


def new(quote, kind):
    return reverse("jobs:quote_line_new", args=[quote.job.number, quote.revision, kind])


def edit(quote, row):
    return reverse("jobs:quote_line_edit", args=[quote.job.number, quote.revision, row.pk])


def remove(quote, row):
    return reverse("jobs:quote_line_remove", args=[quote.job.number, quote.revision, row.pk])


def option(quote, **changes):
    return {
        "version": quote.version,
        "code": "O-1",
        "description": "Second charger",
        "quantity": "1",
        "unit_cents": "640",
        "minutes": "0",
        "discountable": "on",
        "taxable": "on",
        **changes,
    }


@pytest.mark.parametrize(
    ("kind", "data", "amount"),
    [
        ("freight", {"description": "Freight in", "unit_cents": "1850"}, 185_000),
        (
            "sublet",
            {"description": "Graphics", "unit_cents": "3850", "cost_cents": "3000"},
            385_000,
        ),
        (
            "one_off",
            {"description": "Programming", "minutes": "28", "unit_cents": "118"},
            330_400,
        ),
        (
            "part",
            {
                "section": "Radio",
                "description": "Spare lamp",
                "quantity": "1.5",
                "unit_cents": "10",
                "minutes": "0",
                "discountable": "on",
            },
            1_170,
        ),
    ],
)
def test_office_adds_each_kind_of_line(client, draft, kind, data, amount):
    data = {"version": draft.version, "taxable": "on", **data}
    assert client.post(new(draft, kind), data).status_code == 302
    row = draft.lines.filter(kind=kind).order_by("position").last()
    assert row.amount_cents == amount
    assert row.section


def test_new_option_is_priced_and_stays_outside_the_total(client, draft):
    assert client.post(new(draft, "option"), option(draft, minutes="1")).status_code == 302
    row = draft.lines.get(kind="option")
    # 640 less 22 % = 499.20, one hour 118.00, supplies 3 % of the net price 14.98.
    assert row.amount_cents == 49_920 + 11_800 + 1_498
    assert Quote.objects.get(pk=draft.pk).total_cents == draft.total_cents


def test_option_may_take_something_out(client, draft):
    data = option(draft, quantity="-1", unit_cents="6400", minutes="-4", code="O-2")
    assert client.post(new(draft, "option"), data).status_code == 302
    assert draft.lines.get(kind="option").amount_cents == -561_376


def test_double_click_adds_one_line(client, draft):
    data = option(draft)
    assert client.post(new(draft, "option"), data).status_code == 302
    assert client.post(new(draft, "option"), data).status_code == 409
    assert draft.lines.filter(kind="option").count() == 1


def test_second_manager_keeps_what_they_typed_and_saves_once_more(client, draft, manager):
    other = Quote.objects.get(pk=draft.pk)
    add_item(quote=other, version=draft.version, by=manager, item=van.freight())
    page = client.post(new(draft, "option"), option(draft))
    text = page.content.decode()
    assert page.status_code == 409
    assert "Somebody else changed" in text
    assert 'value="Second charger"' in text
    other.refresh_from_db()
    assert f'name="version" value="{other.version}"' in text
    again = client.post(new(draft, "option"), option(draft, version=other.version))
    assert again.status_code == 302
    assert draft.lines.filter(kind__in=("freight", "option")).count() == 2


@pytest.mark.parametrize(
    ("kind", "changes", "words"),
    [
        ("option", {"quantity": "10001"}, "10001 pieces is above 10000"),
        ("option", {"quantity": "NaN"}, "NaN is not a number"),
        ("option", {"unit_cents": "-1"}, "-1 $ is below 0"),
        ("option", {"unit_cents": "1e12"}, "is above 10000000"),
        ("option", {"description": ""}, "This needs a value"),
        ("option", {"description": "x" * 201}, "at most 200 characters"),
        ("part", {"quantity": "-1", "section": "Radio"}, "-1 pieces is below 0"),
        ("part", {"minutes": "-1", "section": "Radio"}, "-1 h is below 0"),
    ],
)
def test_bad_entries_are_named_and_kept(client, draft, kind, changes, words):
    page = client.post(new(draft, kind), option(draft, **changes))
    assert page.status_code == 422
    assert words in page.content.decode()
    assert draft.lines.count() == 4


def test_unknown_kind_is_404(client, draft):
    assert client.get(new(draft, "tax")).status_code == 404


def test_extra_fields_are_ignored(client, draft):
    data = option(draft, amount_cents="1", kind="freight", position="1", cost_cents="5", ref="L99")
    assert client.post(new(draft, "option"), data).status_code == 302
    row = draft.lines.get(kind="option")
    assert (row.amount_cents, row.ref, row.cost_cents) == (51_418, "", None)


def test_build_sheet_line_takes_only_discount_and_tax(client, draft):
    row = draft.lines.get(ref="L01")
    data = {"version": draft.version, "taxable": "on", "quantity": "99", "unit_cents": "1"}
    assert client.post(edit(draft, row), data).status_code == 302
    row.refresh_from_db()
    assert (row.quantity, row.unit_cents, row.discountable) == (Decimal(2), 200_000, False)
    assert row.amount_cents == 400_000


def test_edit_by_two_managers_shows_the_second_both_texts(client, draft, manager):
    row = add_item(quote=draft, version=draft.version, by=manager, item=van.freight())
    draft.refresh_from_db()
    seen = draft.version
    client.post(
        edit(draft, row),
        {"version": seen, "description": "Theirs", "unit_cents": "1", "taxable": "on"},
    )
    page = client.post(
        edit(draft, row),
        {
            "version": seen,
            "description": "Mine",
            "initial-description": "Freight in",
            "unit_cents": "1850",
            "initial-unit_cents": "1850",
            "taxable": "on",
        },
    )
    text = page.content.decode()
    assert page.status_code == 409
    assert "Theirs" in text and "Mine" in text
    row.refresh_from_db()
    assert row.description == "Theirs"


def test_line_that_is_gone_is_told(client, draft, manager):
    row = draft.lines.get(ref="L02")
    path, seen = edit(draft, row), draft.version
    keep = [item_of(one) for one in draft.lines.filter(ref="L01")]
    draft_quote(job=draft.job, lines=keep, by=manager)
    assert client.post(path, {"version": seen, "taxable": "on"}).status_code == 404


def test_line_of_another_quote_is_404(client, draft, manager):
    other = make_draft_quote(by=manager)
    assert client.get(edit(draft, other.lines.first())).status_code == 404


def test_computed_line_is_404(client, draft):
    assert client.get(edit(draft, draft.lines.get(kind="labour"))).status_code == 404


def test_office_line_is_removed_and_sheet_line_is_not(client, draft, manager):
    row = add_item(quote=draft, version=draft.version, by=manager, item=van.freight())
    draft.refresh_from_db()
    page = client.post(remove(draft, draft.lines.get(ref="L01")), {"version": draft.version})
    assert page.status_code == 422
    assert "comes from the build sheet" in page.content.decode()
    assert client.post(remove(draft, row), {"version": draft.version}).status_code == 302
    assert client.post(remove(draft, row), {"version": draft.version}).status_code == 404


def test_lines_of_an_offered_quote_stay(client, draft, manager):
    quote = make_offered_quote(by=manager)
    row = quote.lines.get(ref="L01")
    assert client.get(new(quote, "option")).status_code == 409
    assert client.get(edit(quote, row)).status_code == 409
