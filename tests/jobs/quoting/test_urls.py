"""Every page of this slice in a real browser, and the customer's way through on a phone."""

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page

from jobs.intake.links import CHANGE, QUOTE, make_link
from jobs.models import ChangeOrder, Contact, Decision, Quote
from jobs.quoting.actions import add_item, draft_quote, revise_quote
from jobs.quoting.changes import decide_change, draft_change, offer_change
from jobs.quoting.decisions import decide_quote, offer_quote
from jobs.quoting.orders import enter_order
from tests.browser import OFFICE_TARGET, PHONE, TALL, WIDE, axe, scrolls_sideways, too_small
from tests.factories import make_exempt_agency, make_job, make_unit
from tests.jobs.quoting import rescue_van as van

pytestmark = [pytest.mark.browser, pytest.mark.slow]
QUOTES = "/jobs/J-0042/quotes/"
CHANGES = "/jobs/J-0042/changes/"
ORDERS = "/jobs/J-0042/orders/"
PAGES = [
    QUOTES,
    QUOTES + "A/",
    QUOTES + "B/",
    QUOTES + "C/",
    QUOTES + "C/edit/",
    QUOTES + "C/lines/new/part/",
    QUOTES + "C/lines/new/option/",
    QUOTES + "C/lines/{line}/",
    QUOTES + "C/lines/{sheet_line}/",
    QUOTES + "C/compare/B/",
    QUOTES + "B/compare/A/",
    QUOTES + "B/pdf/status/",
    QUOTES + "B/record/",
    CHANGES + "new/",
    CHANGES + "1/",
    CHANGES + "2/",
    CHANGES + "2/edit/",
    CHANGES + "2/lines/new/",
    CHANGES + "3/send/",
    CHANGES + "3/record/",
    ORDERS + "new/",
    ORDERS + "{order}/",
    ORDERS + "{order}/edit/",
    ORDERS + "{order}/resolve/",
]
TINY = {"width": 320, "height": 256}


@pytest.fixture
def van_job(append_only, manager):
    """A job with every state: A superseded, B approved, C a draft; changes and a held order."""
    agency = make_exempt_agency(name="Kestrel Sound Harbour Rescue District")
    Contact.objects.create(agency=agency, name="Edda Quill", role="Purchasing", may_approve=True)
    job = make_job(agency=agency, number="J-0042", title="Shore Rescue 4")
    make_unit(job=job, number="SR-4")
    a = draft_quote(
        job=job, lines=van.revision_a(), by=manager, number="KS-1042", discount_bp=2_200,
        exclusions="Radio licences", terms="Net 30 days",
    )  # fmt: skip
    offer_quote(quote=a, version=a.version, by=manager)
    lines = [*van.parts(), van.sublet(), van.second_charger(), van.delete_camera()]
    b = draft_quote(job=job, lines=lines, by=manager, note="Adds the thermal camera")
    offer_quote(quote=b, version=b.version, by=manager)
    return job


@pytest.fixture
def late_job(van_job, manager):
    """The same job after the approval."""
    job, b = van_job, van_job.quotes.get(revision="B")
    decide_quote(quote=b, answer="approved", name="Edda Quill", digest=b.digest)
    c = revise_quote(quote=b, by=manager)
    add_item(quote=c, version=c.version, by=manager, item=van.freight())
    enter_order(
        job=job, number="77-3316", revision="A", total_cents=7_254_775, bill_to="Pier Office",
        received_on=timezone.localdate(), by=manager,
    )  # fmt: skip
    for number in (1, 2, 3):
        change = draft_change(
            job=job, title=f"Lights {number}", reason="customer", by=manager,
            lines=van.more_ground_lights(),
        )  # fmt: skip
        if number != 2:
            offer_change(change=change, version=change.version, by=manager)
        if number == 1:
            decide_change(change=change, answer="approved", name="Edda Quill", digest=change.digest)
    return job


def filled(path, job):
    c = job.quotes.get(revision="C")
    return path.format(
        line=c.lines.filter(kind="freight").last().pk,
        sheet_line=c.lines.get(ref="L01").pk,
        order=job.purchase_orders.get().pk,
    )


@pytest.mark.parametrize("size", [WIDE, PHONE], ids=["office", "phone"])
def test_office_pages_keep_the_rules(open_as, late_job, manager, size):
    page = open_as(manager, QUOTES, viewport=size)
    for path in PAGES:
        answer = page.goto(filled(path, late_job))
        assert answer.status == 200, path
        axe(page)
        assert too_small(page, OFFICE_TARGET) == [], path
        assert not scrolls_sideways(page), path


@pytest.mark.parametrize("mode", ["night", "glare"])
def test_quote_and_customer_page_in_the_other_modes(open_as, van_job, manager, mode):
    page = open_as(manager, QUOTES + "B/", mode=mode)
    axe(page)
    page.goto(secret(van_job.quotes.get(revision="B"), manager))
    axe(page)


def secret(subject, by, purpose=QUOTE):
    _, token = make_link(
        job=subject.job, purpose=purpose, subject_id=subject.pk, sent_to="Edda Quill", by=by
    )
    return reverse("jobs:quote_open", args=[token])


def fits(page: Page) -> None:
    axe(page)
    assert too_small(page, OFFICE_TARGET) == []
    assert not scrolls_sideways(page)


@pytest.mark.parametrize("script", [True, False], ids=["script", "no-script"])
def test_customer_approves_on_a_phone_in_three_steps(open_as, van_job, manager, script):
    quote = van_job.quotes.get(revision="B")
    path = secret(quote, manager)
    page = open_as(None, path, viewport=PHONE, java_script_enabled=script)  # 1 open the link
    assert page.url.endswith("/q/")
    assert path.split("/")[2] not in page.content()
    if script:
        fits(page)
    assert page.get_by_text("$78,161.51").first.is_visible()
    assert page.get_by_text("What changed since revision A").is_visible()
    page.locator("#answer").get_by_label("Your full name").first.fill("Edda Quill")  # 2
    page.get_by_role("button", name="Approve this quote").click()  # 3
    assert page.get_by_text("KS-1042 rev B is approved already, by Edda Quill").is_visible()
    if script:
        fits(page)
    assert Quote.objects.get(pk=quote.pk).state == "approved"
    page.go_back()
    page.reload()
    assert Decision.objects.count() == 1


def test_customer_declines_and_keeps_what_was_typed(open_as, van_job, manager):
    page = open_as(None, secret(van_job.quotes.get(revision="B"), manager), viewport=PHONE)
    page.get_by_text("Decline instead").click()
    page.get_by_label("What should change").fill("Too late for the season")
    page.get_by_role("button", name="Decline this quote").click()
    assert page.get_by_text("It stands for your signature").first.is_visible()
    assert page.get_by_label("What should change").input_value() == "Too late for the season"
    fits(page)
    page.locator("details[open]").get_by_label("Your full name").fill("Edda Quill")
    page.get_by_role("button", name="Decline this quote").click()
    assert page.get_by_role("heading", name="Declined").is_visible()


def test_customer_approves_a_change(open_as, late_job, manager):
    change = ChangeOrder.objects.get(number=3)
    page = open_as(None, secret(change, manager, CHANGE), viewport=PHONE)
    fits(page)
    page.locator("#answer").get_by_label("Your full name").first.fill("Edda Quill")
    page.get_by_label("Your order amendment number").fill("2")
    page.get_by_role("button", name="Approve this change").click()
    assert page.get_by_role("heading", name="Approved").is_visible()
    change.refresh_from_db()
    assert (change.state, change.amendment) == ("approved", "2")


def test_customer_pages_fit_the_smallest_screen(open_as, van_job, manager):
    page = open_as(None, secret(van_job.quotes.get(revision="B"), manager), viewport=TINY)
    assert not scrolls_sideways(page)
    page.goto("/q/unknown/")
    fits(page)


def test_office_sends_a_quote_in_two_steps(open_as, van_job, manager):
    page = open_as(manager, QUOTES + "B/", viewport=TALL)
    page.get_by_role("link", name="Send quote").click()
    page.get_by_role("button", name="Make the link").click()
    fits(page)
    link = page.get_by_label("Link to KS-1042 rev B").input_value()
    customer = open_as(None, link, viewport=PHONE)
    assert customer.get_by_role("button", name="Approve this quote").is_visible()


def test_keyboard_reaches_the_answer(open_as, van_job, manager):
    page = open_as(None, secret(van_job.quotes.get(revision="B"), manager), viewport=PHONE)
    page.get_by_role("link", name="Go to your answer").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("Edda Quill")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Approved").wait_for()
