"""Change orders through the browser's forms."""

import html

import pytest
from django.urls import reverse

from jobs.documents.tasks import drain_documents
from jobs.models import ChangeOrder, CustomerLink
from jobs.quoting.changes import draft_change, offer_change, set_change_lines
from tests.factories import make_approved_quote, make_job, make_offered_quote
from tests.jobs.quoting import rescue_van as van


@pytest.fixture
def quote(manager, client):
    client.force_login(manager)
    return make_approved_quote(by=manager, discount_bp=2_200)


@pytest.fixture
def draft(quote, manager):
    return draft_change(
        job=quote.job, title="Two more lights", reason="customer", by=manager,
        lines=van.more_ground_lights(),
    )  # fmt: skip


def url(name, change, *more):
    return reverse(f"jobs:{name}", args=[change.job.number, change.number, *more])


def facts(**changes):
    return {
        "title": "Longer cable",
        "reason": "discovery",
        "asked_by": "Tobin Rask",
        "days": "1",
        "note": "",
        **changes,
    }


def line(change, **changes):
    return {
        "version": change.version,
        "kind": "part",
        "ref": "L13",
        "section": "Scene lights and mast",
        "description": "Ground light",
        "quantity": "2",
        "unit_cents": "48",
        "minutes": "1",
        "discountable": "on",
        "taxable": "on",
        **changes,
    }


def test_new_change_order_gets_lines_and_the_demo_price(client, quote):
    answer = client.post(reverse("jobs:change_new", args=[quote.job.number]), facts())
    change = ChangeOrder.objects.get()
    assert answer.url == url("change_detail", change)
    assert client.post(url("change_line_new", change), line(change)).status_code == 302
    change.refresh_from_db()
    assert change.amount_cents == 19_513
    assert "+$195.13" in client.get(url("change_detail", change)).content.decode()


def test_before_an_approval_the_page_says_what_to_do_first(client, manager):
    client.force_login(manager)
    quote = make_offered_quote(by=manager)
    where = reverse("jobs:change_new", args=[quote.job.number])
    page = client.get(where).content.decode()
    assert "waits for the agency's answer" in html.unescape(page)
    assert reverse("jobs:quote_detail", args=[quote.job.number, "A"]) in page
    assert "<textarea" not in page
    assert client.post(where, facts()).status_code == 409
    assert not ChangeOrder.objects.exists()
    empty = client.get(reverse("jobs:change_new", args=[make_job().number])).content.decode()
    assert "There is no quote either" in empty


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"title": ""}, "This needs a value"),
        ({"days": "366"}, "366 is above 365"),
        ({"days": "x"}, "Type a whole number"),
        ({"reason": "none"}, "Select a valid choice"),
    ],
)
def test_bad_facts_are_named(client, quote, changes, words):
    page = client.post(reverse("jobs:change_new", args=[quote.job.number]), facts(**changes))
    assert page.status_code == 422
    assert words in page.content.decode()
    assert not ChangeOrder.objects.exists()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"quantity": "-10001"}, "-10001 pieces is below -10000"),
        ({"unit_cents": "-1"}, "-1 $ is below 0"),
        ({"description": ""}, "This needs a value"),
        ({"kind": "tax"}, "Select a valid choice"),
    ],
)
def test_bad_lines_are_named(client, draft, changes, words):
    page = client.post(url("change_line_new", draft), line(draft, **changes))
    assert page.status_code == 422
    assert words in page.content.decode()


def test_second_manager_keeps_the_typed_line(client, draft, manager):
    seen = line(draft, description="Mine")
    set_change_lines(change=draft, version=draft.version, lines=[], by=manager)
    page = client.post(url("change_line_new", draft), seen)
    assert page.status_code == 409
    assert 'value="Mine"' in page.content.decode()
    draft.refresh_from_db()
    again = client.post(url("change_line_new", draft), {**seen, "version": draft.version})
    assert again.status_code == 302


def test_line_is_removed_by_its_place(client, draft):
    path = url("change_line_remove", draft, 0)
    assert client.post(path, {"version": draft.version}).status_code == 302
    draft.refresh_from_db()
    assert (draft.lines, draft.amount_cents) == ([], 0)
    assert client.post(path, {"version": draft.version}).status_code == 404


def test_edit_saves_and_tells_the_second(client, draft):
    seen = draft.version
    assert client.post(url("change_edit", draft), facts(version=seen)).status_code == 302
    page = client.post(url("change_edit", draft), facts(version=seen, title="Mine"))
    assert page.status_code == 409
    assert "Longer cable" in page.content.decode()


def test_offer_send_and_record(client, draft):
    answer = client.post(url("change_offer", draft), {"version": draft.version})
    assert answer.url == url("change_send", draft)
    assert client.post(url("change_offer", draft), {"version": draft.version}).status_code == 409
    sent = client.post(answer.url, {"contact": "", "other": "edda@agency.example"})
    assert "mailto:edda%40agency.example" in sent.content.decode()
    assert CustomerLink.objects.get().purpose == "change"
    draft.refresh_from_db()
    day = draft.offered_at.date().isoformat()
    answer = {"answer": "approved", "name": "Edda Quill", "signed_on": day, "amendment": "1"}
    path = url("change_record", draft)
    assert client.post(path, {**answer, "digest": draft.digest}).status_code == 302
    draft.refresh_from_db()
    assert (draft.amendment, draft.decision.recorded_by) == ("1", "Mona Ash")
    page = client.post(path, {**answer, "digest": draft.digest})
    assert page.status_code == 422
    assert "is approved already" in page.content.decode()


def test_draft_is_not_sent_and_has_no_pdf(client, draft):
    assert client.get(url("change_send", draft)).status_code == 409
    assert client.get(url("change_pdf", draft)).status_code == 404
    assert client.get(url("change_pdf_status", draft)).status_code == 404


def test_offered_change_has_a_pdf_and_stays_as_it_is(client, draft, manager):
    offer_change(change=draft, version=draft.version, by=manager)
    drain_documents()
    drain_documents()
    pdf = client.get(url("change_pdf", draft))
    assert b"".join(pdf.streaming_content).startswith(b"%PDF")
    assert client.get(url("change_edit", draft)).status_code == 409
    assert client.get(url("change_line_new", draft)).status_code == 409


def test_withdraw_is_final(client, draft):
    assert client.post(url("change_withdraw", draft)).status_code == 302
    assert client.post(url("change_withdraw", draft)).status_code == 409


@pytest.mark.parametrize("role", ["designer", "inspector", "technician"])
def test_the_bay_sees_what_changes_and_no_money(client, draft, role, request):
    client.force_login(request.getfixturevalue(role))
    page = client.get(url("change_detail", draft)).content.decode()
    assert "Ground (perimeter) light" in page
    assert "Nobody works on this change" in page
    assert "$" not in page


def test_unknown_change_is_404(client, quote):
    assert client.get(reverse("jobs:change_detail", args=[quote.job.number, 9])).status_code == 404
