"""The office's quote pages: who sees what, what is refused and how."""

import pytest
from django.urls import reverse

from jobs.models import Quote
from jobs.quoting.actions import edit_terms, revise_quote
from jobs.quoting.decisions import offer_quote
from tests.factories import (
    make_approved_quote,
    make_draft_quote,
    make_job,
    make_offered_quote,
    make_unit,
)


@pytest.fixture
def draft(manager):
    return make_draft_quote(by=manager, discount_bp=2_200)


def url(name, quote, *more):
    return reverse(f"jobs:{name}", args=[quote.job.number, quote.revision, *more])


def terms(quote, **changes):
    return {
        "version": quote.version,
        "price_date": quote.price_date.isoformat(),
        "valid_until": quote.valid_until.isoformat(),
        "contract": "",
        "discount_bp": "22",
        "unit_count": "1",
        "repeat_bp": "100",
        "deposit_bp": "0",
        "labour_rate_cents": "118",
        "supplies_bp": "3",
        "tax": quote.tax,
        "tax_bp": "0",
        "labour_taxable": "on",
        "note": "",
        "exclusions": "",
        "terms": "",
        **changes,
    }


# Reading


def test_quote_list_of_an_empty_job_says_what_to_do(client, manager):
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_list", args=[make_job().number]))
    assert "the quote is drafted from its lines" in page.content.decode()


def test_quote_list_shows_revisions_with_totals(client, manager, draft):
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_list", args=[draft.job.number])).content.decode()
    assert "Revision A" in page
    assert "$4,821.66" in page


def test_quote_list_shows_the_contract_total(client, manager):
    quote = make_approved_quote(by=manager)
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_list", args=[quote.job.number])).content.decode()
    assert "Contract total" in page


@pytest.mark.parametrize("role", ["designer", "inspector", "technician"])
@pytest.mark.parametrize("name", ["quote_list", "quote_detail"])
def test_money_is_for_managers_only(client, manager, role, name, request):
    quote = make_offered_quote(by=manager, discount_bp=2_200)
    args = [quote.job.number] if name == "quote_list" else [quote.job.number, quote.revision]
    client.force_login(request.getfixturevalue(role))
    page = client.get(reverse(f"jobs:{name}", args=args)).content.decode()
    assert "Revision A" in page or "revision A" in page
    assert "$" not in page
    assert "22 %" not in page


def test_technician_sees_scope_and_hours(client, manager, technician, draft):
    client.force_login(technician)
    page = client.get(url("quote_detail", draft)).content.decode()
    assert "Roof light bar" in page
    assert "7.5 h" in page
    assert "Shop supplies" not in page


def test_quote_detail_shows_from_list_to_total_and_margin(client, manager, draft):
    client.force_login(manager)
    page = client.get(url("quote_detail", draft)).content.decode()
    for words in ("Contract discount, 22 %", "$4,821.66", "Margin", "1 line with a known cost"):
        assert words in page, words


def test_quote_detail_of_several_units_says_that_one_is_priced(client, manager, draft):
    make_unit(job=draft.job)
    make_unit(job=draft.job)
    client.force_login(manager)
    assert "priced for one" in client.get(url("quote_detail", draft)).content.decode()


def test_quote_detail_does_not_query_per_line(client, manager, django_assert_max_num_queries):
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    with django_assert_max_num_queries(20):
        client.get(url("quote_detail", quote))


@pytest.mark.parametrize(("number", "revision"), [("J-0", "A"), (None, "Q")])
def test_unknown_job_or_revision_is_404(client, manager, draft, number, revision):
    client.force_login(manager)
    path = reverse("jobs:quote_detail", args=[number or draft.job.number, revision])
    assert client.get(path).status_code == 404


# Terms


def test_quote_edit_saves_and_reprices(client, manager, draft):
    client.force_login(manager)
    answer = client.post(url("quote_edit", draft), terms(draft, discount_bp="50", note="Less"))
    assert answer.status_code == 302
    stored = Quote.objects.get(pk=draft.pk)
    assert (stored.discount_bp, stored.note) == (5_000, "Less")
    assert stored.total_cents < draft.total_cents


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"discount_bp": "101"}, "101 % is above 100"),
        ({"discount_bp": "-1"}, "-1 % is below 0"),
        ({"labour_rate_cents": "a lot"}, "a lot is not a number"),
        ({"tax_bp": "31"}, "31 % is above 30"),
        ({"valid_until": "2020-01-01"}, "is before the day of the prices"),
        ({"valid_until": "2199-01-01"}, "the most is 365"),
        ({"valid_until": "soon"}, "This is not a date"),
        ({"tax": "maybe"}, "Select a valid choice"),
    ],
)
def test_quote_edit_names_field_value_and_limit(client, manager, draft, changes, words):
    client.force_login(manager)
    page = client.post(url("quote_edit", draft), terms(draft, **changes))
    assert page.status_code == 422
    assert words in page.content.decode()
    assert Quote.objects.get(pk=draft.pk).version == draft.version


def test_quote_edit_sent_twice_saves_once(client, manager, draft):
    client.force_login(manager)
    data = terms(draft, note="Once")
    assert client.post(url("quote_edit", draft), data).status_code == 302
    assert client.post(url("quote_edit", draft), data).status_code == 302
    assert Quote.objects.get(pk=draft.pk).version == draft.version + 1


def test_quote_edit_by_two_managers_shows_the_second_both_texts(client, manager, draft):
    client.force_login(manager)
    edit_terms(quote=draft, version=draft.version, by=manager, fields={"note": "Theirs"})
    stale = terms(draft, note="Mine", version=draft.version - 1)
    page = client.post(url("quote_edit", draft), stale)
    text = page.content.decode()
    assert page.status_code == 409
    assert "Somebody else changed this" in text
    assert "Theirs" in text and "Mine" in text
    assert Quote.objects.get(pk=draft.pk).note == "Theirs"


def test_offered_quote_cannot_be_edited(client, manager):
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    page = client.get(url("quote_edit", quote))
    assert page.status_code == 409
    assert "is offered; it cannot be edited" in page.content.decode()


# Moves


def test_quote_offer_leads_to_sending_it(client, manager, draft):
    client.force_login(manager)
    answer = client.post(url("quote_offer", draft), {"version": draft.version})
    assert answer.url == url("quote_send", draft)
    assert Quote.objects.get(pk=draft.pk).state == "offered"


def test_quote_offer_twice_is_told(client, manager, draft):
    client.force_login(manager)
    client.post(url("quote_offer", draft), {"version": draft.version})
    page = client.post(url("quote_offer", draft), {"version": draft.version})
    assert page.status_code == 409
    assert "is offered already" in page.content.decode()


@pytest.mark.parametrize("version", ["", "-1", "x", "9999999999999999999999", "٣"])
def test_quote_offer_with_an_odd_version_changes_nothing(client, manager, draft, version):
    client.force_login(manager)
    assert client.post(url("quote_offer", draft), {"version": version}).status_code == 409
    assert Quote.objects.get(pk=draft.pk).state == "draft"


def test_quote_offer_that_is_blocked_says_why(client, manager):
    quote = make_draft_quote(by=manager, lines=[])
    client.force_login(manager)
    page = client.post(url("quote_offer", quote), {"version": quote.version})
    assert page.status_code == 422
    assert "has no lines" in page.content.decode()


def test_quote_withdraw_and_revise(client, manager):
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    assert client.post(url("quote_withdraw", quote)).status_code == 302
    assert client.post(url("quote_withdraw", quote)).status_code == 409
    answer = client.post(url("quote_revise", quote))
    assert answer.url.endswith("/quotes/B/")
    assert client.post(url("quote_revise", quote)).status_code == 409


def test_quote_delete_removes_a_draft_only(client, manager, draft):
    client.force_login(manager)
    offered = make_offered_quote(by=manager)
    assert client.post(url("quote_delete", offered), {"version": 1}).status_code == 409
    answer = client.post(url("quote_delete", draft), {"version": draft.version})
    assert answer.status_code == 302
    assert not Quote.objects.filter(pk=draft.pk).exists()


@pytest.mark.parametrize("name", ["quote_offer", "quote_withdraw", "quote_revise", "quote_delete"])
def test_moves_are_posted(client, manager, draft, name):
    client.force_login(manager)
    assert client.get(url(name, draft)).status_code == 405


# Comparing and the PDF


def test_quote_compare_lists_what_differs(client, manager):
    quote = make_offered_quote(by=manager)
    new = revise_quote(quote=quote, by=manager)
    edit_terms(quote=new, version=new.version, by=manager, fields={"discount_bp": 1_000})
    client.force_login(manager)
    page = client.get(url("quote_compare", new, "A")).content.decode()
    assert "Roof light bar" in page
    assert "Installation labour" not in page
    assert "Difference of the totals" in page
    assert "-$504.70" in page


def test_quote_compare_of_equal_revisions_says_so(client, manager):
    quote = make_offered_quote(by=manager)
    revise_quote(quote=quote, by=manager)
    client.force_login(manager)
    page = client.get(reverse("jobs:quote_compare", args=[quote.job.number, "B", "A"]))
    assert "No line differs. All 4 lines are the same." in page.content.decode()


def test_draft_has_no_pdf_yet(client, manager, draft):
    client.force_login(manager)
    assert client.get(url("quote_pdf", draft)).status_code == 404


def test_draft_pdf_is_marked_and_goes_with_the_next_edit(client, manager, draft):
    client.force_login(manager)
    assert client.post(url("quote_print", draft)).url == url("quote_pdf_status", draft)
    draft.refresh_from_db()
    assert draft.document.frame["draft"] is True
    edit_terms(quote=draft, version=draft.version, by=manager, fields={"note": "x"})
    assert draft.document is None
    assert client.get(url("quote_pdf", draft)).status_code == 404


def test_offered_quote_keeps_its_frozen_pdf(client, manager):
    quote = make_offered_quote(by=manager)
    client.force_login(manager)
    client.post(url("quote_print", quote))
    frozen = quote.document_id
    quote.refresh_from_db()
    assert quote.document_id == frozen


def test_offered_quote_shows_the_state_of_its_pdf(client, manager, draft):
    offer_quote(quote=draft, version=draft.version, by=manager)
    client.force_login(manager)
    page = client.get(url("quote_pdf_status", draft), headers={"HX-Request": "true"})
    assert "document-status" in page.content.decode()
    assert "<html" not in page.content.decode()
