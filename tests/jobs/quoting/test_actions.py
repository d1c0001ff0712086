"""Drafting: from the build sheet, from an earlier revision, by hand."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from jobs.models import AuditEvent, Quote
from jobs.quoting.actions import (
    add_item,
    change_item,
    delete_draft,
    draft_quote,
    edit_terms,
    remove_item,
    revise_quote,
)
from jobs.quoting.decisions import offer_quote
from jobs.quoting.errors import QuoteError, StaleError
from jobs.quoting.lines import given_lines, item_of
from jobs.quoting.pricing import Kind, PricedInput
from tests.factories import make_draft_quote, make_exempt_agency, make_job
from tests.jobs.quoting import rescue_van as van

FREIGHT = PricedInput(
    kind=Kind.FREIGHT, section="Freight", description="Freight in", unit_cents=185_000
)


def sheet_lines(quote):
    return [item_of(row) for row in given_lines(quote) if row.ref]


def test_rescue_van_totals_from_the_tables(manager):
    job = make_job(agency=make_exempt_agency())
    a = draft_quote(
        job=job, lines=van.revision_a(), by=manager, number="KS-1042", discount_bp=2_200
    )
    assert (str(a), a.total_cents) == ("KS-1042 rev A", 7_254_775)
    offer_quote(quote=a, version=a.version, by=manager)
    lines = [*van.parts(), van.sublet()]
    b = draft_quote(job=job, lines=lines, by=manager, note="Adds the thermal camera")
    assert (str(b), b.total_cents) == ("KS-1042 rev B", 7_816_151)


def test_first_draft_takes_the_terms_of_the_shop(manager):
    quote = make_draft_quote(by=manager)
    assert (quote.revision, quote.state) == ("A", "draft")
    assert (quote.labour_rate_cents, quote.supplies_bp) == (11_800, 300)
    assert quote.valid_until == timezone.localdate() + timedelta(days=45)
    assert quote.tax == Quote.Tax.EXEMPT


def test_an_agency_without_exemption_is_taxed(manager):
    assert make_draft_quote(by=manager, job=make_job()).tax == Quote.Tax.TAXED


def test_numbers_without_gaps(manager):
    numbers = [make_draft_quote(by=manager).number for _ in range(3)]
    assert numbers == ["Q-0001", "Q-0002", "Q-0003"]


def test_stored_total_is_the_sum_of_stored_lines(manager):
    quote = make_draft_quote(by=manager, discount_bp=1_000)
    assert quote.total_cents == sum(line.amount_cents for line in quote.lines.all())
    kinds = [line.kind for line in quote.lines.all()]
    assert kinds == ["part", "part", "labour", "supplies"]


def test_drafting_again_replaces_sheet_lines_and_keeps_office_lines(manager):
    quote = make_draft_quote(by=manager)
    add_item(quote=quote, version=quote.version, by=manager, item=FREIGHT)
    lines = [replace(sheet_lines(quote)[0], quantity=Decimal(3))]
    again = draft_quote(job=quote.job, lines=lines, by=manager)
    assert again.pk == quote.pk
    assert [(row.ref, row.description) for row in given_lines(again)] == [
        ("L01", "Roof light bar"),
        ("", "Freight in"),
    ]


def test_drafting_again_keeps_what_the_office_said_about_a_line(manager):
    quote = make_draft_quote(by=manager, discount_bp=2_200)
    radio = quote.lines.get(ref="L02")
    change_item(
        row=radio,
        version=quote.version,
        by=manager,
        item=replace(item_of(radio), discountable=False),
    )
    again = draft_quote(
        job=quote.job, lines=[replace(i, discountable=True) for i in sheet_lines(quote)], by=manager
    )
    assert again.lines.get(ref="L02").discount_bp == 0
    assert again.lines.get(ref="L01").discount_bp == 2_200


def test_after_an_offer_the_build_sheet_makes_a_new_revision_with_the_old_terms(manager):
    quote = make_draft_quote(by=manager, discount_bp=2_200, terms="Net 30 days")
    offer_quote(quote=quote, version=quote.version, by=manager)
    new = draft_quote(job=quote.job, lines=sheet_lines(quote), by=manager)
    assert (new.revision, new.number, new.discount_bp, new.terms) == (
        "B",
        quote.number,
        2_200,
        "Net 30 days",
    )


def test_revision_from_the_previous_one_has_the_same_total(manager):
    quote = make_draft_quote(by=manager, discount_bp=1_250)
    offer_quote(quote=quote, version=quote.version, by=manager)
    new = revise_quote(quote=quote, by=manager, note="Same again")
    assert (new.revision, new.total_cents, new.state) == ("B", quote.total_cents, "draft")


def test_there_is_one_draft_at_a_time(manager):
    quote = make_draft_quote(by=manager)
    with pytest.raises(QuoteError, match="Revision A is still a draft"):
        revise_quote(quote=quote, by=manager)


def test_revision_letters_go_on_after_z(manager):
    job = make_job(agency=make_exempt_agency())
    for _ in range(28):
        quote = make_draft_quote(by=manager, job=job)
        Quote.objects.filter(pk=quote.pk).update(state="superseded")
    assert list(job.quotes.values_list("revision", flat=True))[-3:] == ["Z", "AA", "AB"]


def test_unknown_terms_are_a_mistake_of_the_caller(manager):
    with pytest.raises(TypeError, match="not terms"):
        make_draft_quote(by=manager, rebate=5)


def test_a_labour_class_without_a_rate_is_refused(manager):
    lines = [
        PricedInput(section="x", ref="L1", description="x", minutes=60, labour_class="Electrician")
    ]
    with pytest.raises(ValueError, match="no rate for the labour class"):
        make_draft_quote(by=manager, lines=lines)


def test_terms_reprice_every_line(manager):
    quote = make_draft_quote(by=manager)
    edit_terms(quote=quote, version=quote.version, by=manager, fields={"discount_bp": 5_000})
    assert [line.amount_cents for line in quote.lines.filter(kind="part")] == [200_000, 45_000]


def test_options_stay_outside_until_they_are_taken(manager):
    quote = make_draft_quote(by=manager)
    before = quote.total_cents
    row = add_item(quote=quote, version=quote.version, by=manager, item=van.second_charger())
    assert quote.total_cents == before
    quote.refresh_from_db()
    change_item(row=row, version=quote.version, by=manager, item=replace(item_of(row), chosen=True))
    assert Quote.objects.get(pk=quote.pk).total_cents == before + 64_000


def test_two_managers_add_at_once_and_the_second_is_told(manager):
    quote = make_draft_quote(by=manager)
    seen = quote.version
    add_item(quote=Quote.objects.get(pk=quote.pk), version=seen, by=manager, item=FREIGHT)
    with pytest.raises(StaleError, match="Somebody else changed"):
        add_item(quote=quote, version=seen, by=manager, item=van.second_charger())
    assert quote.lines.filter(kind="freight").count() == 1
    assert not quote.lines.filter(kind="option").exists()


def test_offered_quote_cannot_be_edited(manager):
    quote = make_draft_quote(by=manager)
    offer_quote(quote=quote, version=quote.version, by=manager)
    digest = quote.digest
    for change in (
        lambda: edit_terms(quote=quote, version=quote.version, by=manager, fields={"note": "x"}),
        lambda: add_item(quote=quote, version=quote.version, by=manager, item=FREIGHT),
        lambda: delete_draft(quote=quote, version=quote.version, by=manager),
    ):
        with pytest.raises(StaleError, match="is offered; it cannot be edited"):
            change()
    quote.refresh_from_db()
    assert (quote.digest, quote.note) == (digest, "")


def test_build_sheet_lines_are_removed_on_the_build_sheet(manager):
    quote = make_draft_quote(by=manager)
    with pytest.raises(QuoteError, match="L01 comes from the build sheet"):
        remove_item(row=quote.lines.get(ref="L01"), version=quote.version, by=manager)


def test_office_lines_can_be_removed(manager):
    quote = make_draft_quote(by=manager)
    total = quote.total_cents
    row = add_item(quote=quote, version=quote.version, by=manager, item=FREIGHT)
    quote.refresh_from_db()
    remove_item(row=row, version=quote.version, by=manager)
    assert Quote.objects.get(pk=quote.pk).total_cents == total


def test_a_removed_line_cannot_be_changed(manager):
    quote = make_draft_quote(by=manager)
    row = add_item(quote=quote, version=quote.version, by=manager, item=FREIGHT)
    quote.lines.filter(pk=row.pk).delete()
    quote.refresh_from_db()
    with pytest.raises(StaleError, match="removed this line"):
        change_item(row=row, version=quote.version, by=manager, item=FREIGHT)


def test_deleted_draft_leaves_its_history(manager):
    quote = make_draft_quote(by=manager)
    delete_draft(quote=quote, version=quote.version, by=manager)
    assert not Quote.objects.exists()
    assert AuditEvent.objects.filter(verb="deleted", job=quote.job.number).count() == 1


def test_every_action_leaves_a_sentence(manager):
    quote = make_draft_quote(by=manager)
    edit_terms(quote=quote, version=quote.version, by=manager, fields={"note": "x"})
    sentences = list(AuditEvent.objects.order_by("id").values_list("sentence", flat=True))
    assert sentences[0].startswith(f"{quote}: drafted from the build sheet, 2 lines.")
    assert sentences[1].startswith(f"{quote}: changed note.")
