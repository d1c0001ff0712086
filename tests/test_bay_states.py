"""The tablet knows the state of a check by itself: by the shop's rules, counted and filtered."""

import random
from dataclasses import asdict

import pytest
from playwright.sync_api import Page

from inspections.checklists.state import Event, state_of
from inspections.models import Result
from tests.bay import READY, acknowledged, fill, make_pictures, open_check, wait_until_sent
from tests.bay_rows import BayRows, seed_bay

pytestmark = [pytest.mark.browser, pytest.mark.slow]

# The shop's names of an event's parts and the tablet's.
SHORT = {"check_version": "version", "base_sequence": "base"}
STATES = """async ([cases, version]) => {
  const { stateOf } = await import('/static/js/bay/states.js');
  return cases.map((events) => stateOf(events, version));
}"""
VERSION = 2


@pytest.fixture
def rows(append_only) -> BayRows:
    return seed_bay(checks=6, photos=2, people=2)


def some_events(chance: random.Random) -> list[Event]:
    """A history of a check as people make it: answers, taken back, opened again, decided."""
    events: list[Event] = []
    for sequence in range(1, chance.randint(1, 8)):
        results = [one.sequence for one in events if one.kind == "result"]
        kinds = ["result"] * 4 + ["reopen", "decide", "note"] + ["void"] * bool(results)
        kind = chance.choice(kinds)
        events.append(
            Event(
                sequence=sequence,
                kind=kind,
                verdict=chance.choice(["pass", "fail", "na"]) if kind == "result" else "",
                person=chance.randint(1, 3),
                check_version=chance.choice([1, VERSION, VERSION]),
                base_sequence=chance.randint(0, sequence - 1),
                voids=chance.choice(results) if kind == "void" else 0,
                keeps=chance.choice([0, *results]) if kind == "decide" else 0,
                late=kind == "result" and chance.random() < 0.1,
            )
        )
    return events


def test_the_tablet_judges_a_history_as_the_shop_does(open_as, rows):
    chance = random.Random(5)
    cases = [some_events(chance) for _ in range(2_000)]
    expected = [state_of(events, version=VERSION) for events in cases]
    assert set(expected) == {"open", "pass", "fail", "na", "decision", "again"}
    plain = [
        [{SHORT.get(name, name): value for name, value in asdict(one).items()} for one in events]
        for events in cases
    ]
    page = open_as(rows.people[0], rows.checks_path)
    assert page.evaluate(STATES, [plain, VERSION]) == expected


def chips(page: Page) -> dict[str, int]:
    """The filters on the page with their numbers."""
    return {
        str(chip.get_attribute("data-count")): int(chip.inner_text())
        for chip in page.locator("li:not([hidden]) [data-count]").all()
    }


def shown(page: Page) -> list[str]:
    return page.locator("[data-check]:visible").evaluate_all(
        "(all) => all.map(o => o.dataset.check)"
    )


def answer(page: Page, rows: BayRows, ref: str, button: str) -> None:
    open_check(page, rows.checks_path, ref)
    page.click(f"button[value={button}]")
    acknowledged(page, ref)


def test_the_list_counts_and_filters_without_a_connection(open_as, rows, tmp_path):
    page = open_as(rows.people[0], rows.checks_path)
    page.wait_for_selector(READY)
    assert chips(page) == {"open": 6}
    page.context.set_offline(True)
    answer(page, rows, "C-01", "fail")
    open_check(page, rows.checks_path, "C-03")
    fill(page, make_pictures(tmp_path, 1, seed=1)[0])
    page.click("button[value=pass]")
    acknowledged(page, "C-03")
    answer(page, rows, "C-04", "pass")
    page.goto(f"{rows.checks_path}C-04/")
    page.locator("#undo button", has_text="Take C-04 back").click()
    page.get_by_text("C-04: your entry is taken back.").wait_for()
    page.goto(rows.checks_path)
    page.locator("[data-count=fail]", has_text="1").wait_for()
    assert chips(page) == {"fail": 1, "open": 4, "pass": 1}
    page.get_by_role("link", name="Fail 1").click()
    page.wait_for_url("**?state=fail")
    page.locator("a[aria-current]", has_text="Fail 1").wait_for()
    assert shown(page) == ["C-01"]
    page.goto(f"{rows.checks_path}?state=na&stage=S9")
    page.get_by_text("No check matches this choice.").wait_for()
    assert shown(page) == []
    page.context.set_offline(False)
    wait_until_sent(page)
    page.goto(rows.checks_path)
    assert chips(page) == {"fail": 1, "open": 4, "pass": 1}
    assert Result.objects.count() == 4


def test_the_tablet_says_at_once_that_two_answers_need_a_decision(open_as, rows):
    """The page shows somebody's pass; a fail by somebody who has not seen it is a dispute."""
    page = open_as(rows.people[0], rows.checks_path)
    page.wait_for_selector(READY)
    open_check(page, rows.checks_path, "C-01")
    other = open_as(rows.people[1], f"{rows.checks_path}C-01/")
    answer(other, rows, "C-01", "pass")
    wait_until_sent(other)
    # The first page is older than that answer; the list is newer.
    page.click("button[value=fail]")
    acknowledged(page, "C-01")
    page.locator("#check-state", has_text="Sent").wait_for()
    page.goto(rows.checks_path)
    assert chips(page) == {"decision": 1, "open": 5}
