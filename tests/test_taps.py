"""Taps per task, counted by the page itself; typing and the camera are free."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from django.urls import reverse
from playwright.sync_api import Locator, Page

from config.access import INSPECTOR, MANAGER, TECHNICIAN
from inspections.as_built.label import label_of
from inspections.checklists.actions import record_result
from inspections.checklists.generate import generate_checks
from inspections.models import Check, Packet
from jobs.intake.links import QUOTE, make_link
from jobs.models import ChangeOrder, Quote, Shop, Stage, WorkEvent
from tests.bay import acknowledged, make_pictures, open_check
from tests.bay_rows import STAGE, BayRows, seed_bay
from tests.conftest import make_person
from tests.factories import (
    make_approved_quote,
    make_offered_quote,
    make_wired_job,
    make_working_unit,
    reading,
)

pytestmark = [pytest.mark.browser, pytest.mark.slow]

# Upper limits. The name or sentence that somebody types is no tap, reaching its field is one.
MOST = {
    "start work": 2, "visual check": 1, "reading check": 1, "photo check": 2, "fail with why": 3,
    "undo": 1, "see what is unsent": 1, "raise a change": 4, "sign a stage": 5,
    "approve a quote": 2, "revise a quote": 1, "build a packet": 1, "find a circuit": 2,
}  # fmt: skip
COUNT = """if (!window.counting) addEventListener('pointerdown', (event) => {
  if (event.isTrusted) sessionStorage.taps = Number(sessionStorage.taps || 0) + 1;
}, true);
window.counting = true;"""
PASSPHRASE = "a long test phrase"


@contextmanager
def counted(page: Page, task: str) -> Iterator[None]:
    """Everything that is pressed inside, on however many pages, stays within the task's limit."""
    page.add_init_script(COUNT)
    page.reload()
    page.wait_for_load_state("networkidle")
    page.evaluate("() => sessionStorage.removeItem('taps')")
    yield
    taps = page.evaluate("() => Number(sessionStorage.taps)")
    print(f"{task}: {taps} of {MOST[task]}")
    assert 1 <= taps <= MOST[task], f"{task} takes {taps} taps"


def write(page: Page, field: Locator, words: str) -> None:
    """Type into a field, reaching for it unless the page has put one there."""
    if not field.evaluate("(e) => e === document.activeElement"):
        field.click()
    page.keyboard.type(words)


def shoot(page: Page, field: Locator, picture) -> None:
    """Press for the camera; what the camera itself asks is not ours."""
    with page.expect_file_chooser() as camera:
        field.click()
    camera.value.set_files(picture)


def button(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=name, exact=True)


@pytest.fixture
def rows(append_only) -> BayRows:
    return seed_bay(checks=6, photos=2, people=2)


@pytest.fixture
def picture(tmp_path):
    return make_pictures(tmp_path, 1, seed=1)[0]


@pytest.fixture
def at(open_as, rows) -> Callable[[str], Page]:
    """One check before an inspector."""

    def opened(ref: str) -> Page:
        page = open_as(rows.people[0], f"{rows.checks_path}{ref}/")
        open_check(page, rows.checks_path, ref)
        return page

    return opened


def test_a_check_that_one_looks_at_is_one_tap_and_so_is_its_undo(at):
    page = at("C-01")
    with counted(page, "visual check"):
        open_ready(page)
        button(page, "Fail").click()
        acknowledged(page, "C-01")
    with counted(page, "undo"):
        open_ready(page)
        button(page, "Take C-01 back").click()
        page.get_by_text("C-01: your entry is taken back.").wait_for()


def open_ready(page: Page) -> None:
    page.wait_for_selector("form[data-ready]")


def test_a_reading_is_its_digits_and_one_tap(at, rows):
    page = at("C-02")
    page.select_option("[name=instrument]", index=1)  # once a stage
    page.fill("[name=value_typed]", "13.2")
    button(page, "Pass").click()
    acknowledged(page, "C-02")
    page.wait_for_url(lambda address: "C-02" not in address)
    page.goto(f"{rows.checks_path}C-05/")
    with counted(page, "reading check"):
        open_ready(page)
        page.locator("[name=value_typed]").focus()
        page.keyboard.type("13.1")  # the digits are not counted, on whichever keys
        button(page, "Pass").click()
        acknowledged(page, "C-05")


def test_a_photo_is_two_taps_and_a_failure_with_its_reason_three(at, picture):
    page = at("C-03")
    with counted(page, "photo check"):
        open_ready(page)
        shoot(page, page.locator("[name=photos]"), picture)
        page.wait_for_selector(".chosen li")
        button(page, "Pass").click()
        acknowledged(page, "C-03")
    page = at("C-04")
    with counted(page, "fail with why"):
        open_ready(page)
        shoot(page, page.locator("[name=photos]"), picture)
        page.wait_for_selector(".chosen li")
        write(page, page.locator("[name=reason]"), "Lens cracked")
        button(page, "Fail").click()
        acknowledged(page, "C-04")


def test_what_is_unsent_is_one_tap_away(at):
    page = at("C-01")
    with counted(page, "see what is unsent"):
        page.locator("#bay-sync").click()
        page.get_by_role("heading", name="Outbox").wait_for()


@pytest.fixture
def working(append_only, open_as):
    """A technician on My day, with an approved job whose first stage can start."""
    Shop.objects.create(pk=1, name="Test Works", labour_rate_cents=11_800, supplies_bp=300)
    manager = make_person("mona", MANAGER, first="Mona", last="Ash")
    unit = make_working_unit(by=manager, number="SR-4")
    make_approved_quote(by=manager, job=unit.job, tax="none")
    person = make_person("tess", TECHNICIAN, first="Tess", last="Cedar")
    return open_as(person, "/"), unit, manager


def test_work_starts_two_taps_after_my_day(working):
    page, _, _ = working
    with counted(page, "start work"):
        page.locator("main .btn-main").click()
        button(page, "Start timer").click()
        page.get_by_text("Timer started").wait_for()
    assert WorkEvent.objects.filter(kind="start").count() <= 1


def test_a_technician_raises_a_change_with_a_photo_in_four_taps(working, picture):
    page, _, _ = working
    page.locator("main .btn-main").click()
    page.wait_for_url("**/stages/**")
    with counted(page, "raise a change"):
        page.get_by_role("link", name="Raise a change").click()
        write(page, page.locator("[name=title]"), "Roof rail is cracked")
        shoot(page, page.locator("[name=photos]"), picture)
        button(page, "Raise change").click()
        page.wait_for_url("**/stages/*/")
    change = ChangeOrder.objects.get()
    assert (change.title, bool(change.photo)) == ("Roof rail is cracked", True)


def test_a_stage_with_three_exceptions_is_read_and_signed(open_as, rows):
    for check in Check.objects.exclude(kind="reading"):
        passed = "pass" if not check.photo_required else "na"
        record_result(check=check, by=rows.people[1], reading=reading(passed, reason="Seen"))
    Check.objects.filter(kind="reading").update(retired=True)
    Stage.objects.update(state=Stage.State.FINISHED)
    signer = make_person("ines", INSPECTOR, first="Ines", last="Elm")
    number, unit = rows.unit.job.number, rows.unit.number
    page = open_as(signer, f"/jobs/{number}/units/{unit}/stages/{STAGE}/sign/")
    with counted(page, "sign a stage"):
        write(page, page.locator("[name=passphrase]"), PASSPHRASE)
        button(page, "Sign stage").click()
        page.wait_for_url(lambda address: not address.endswith("/sign/"))
    assert Stage.objects.get().state == Stage.State.SIGNED


def test_an_office_manager_revises_a_quote_and_builds_a_packet_in_one_tap_each(working, open_as):
    _, unit, manager = working
    generate_checks(unit=unit, by=manager)
    quote = make_offered_quote(by=manager, job=make_wired_job(), tax="none")
    page = open_as(manager, f"/jobs/{quote.job.number}/quotes/{quote.revision}/")
    with counted(page, "revise a quote"):
        button(page, "Make a new revision").click()
        page.wait_for_url("**/quotes/B/")
    page.goto(f"/jobs/{unit.job.number}/units/{unit.number}/packet/")
    with counted(page, "build a packet"):
        button(page, "Build packet").click()
        page.get_by_text("Revision 1").first.wait_for()
    assert Packet.objects.count() == 1
    assert Quote.objects.filter(job=quote.job).count() == 2


def test_a_customer_who_opened_the_link_gives_name_and_approval(open_as, working):
    """Opening the link is the third of their three taps."""
    _, _, manager = working
    quote = make_offered_quote(by=manager, job=make_wired_job(), tax="none")
    _, token = make_link(
        job=quote.job, purpose=QUOTE, subject_id=quote.pk, sent_to="Edda Quill", by=manager
    )
    page = open_as(None, reverse("jobs:quote_open", args=[token]))
    with counted(page, "approve a quote"):
        write(page, page.get_by_label("Your full name").first, "Edda Quill")
        button(page, "Approve this quote").click()
        page.get_by_role("heading", name="Approved").wait_for()


def test_after_signing_in_a_scan_leads_to_a_circuit_in_two_taps(working, open_as):
    _, unit, _ = working
    person = make_person("sam", TECHNICIAN, first="Sam", last="Fir")
    page = open_as(person, f"/a/{label_of(unit).code}/")
    with counted(page, "find a circuit"):
        write(page, page.locator("[name=q]"), "A-01")
        button(page, "Find").click()
        page.locator("a.row-link").first.click()
        page.get_by_role("heading", level=1).wait_for()
