"""The promise of the bay: what the screen calls saved arrives exactly once, whatever dies."""

from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.bay import (
    READY,
    Figures,
    Stored,
    Tablet,
    acknowledged,
    open_check,
    seed,
    stored,
    wait_until_sent,
)
from tests.bay_shift import Shift
from tests.running import RunningShop

pytestmark = [pytest.mark.browser, pytest.mark.slow]
EIGHT = 8
SHARED = ["C-01", "C-04", "C-07", "C-10"]


def test_every_acknowledged_tap_arrives_exactly_once(
    running: RunningShop, playwright: Playwright, tmp_path: Path
) -> None:
    figures = Shift(
        running, playwright, tmp_path, checks=12, photos=4, browser_kills=3, server_kills=2,
        seed_number=7,
    ).run()  # fmt: skip
    print(figures)
    assert (figures.lost, figures.doubled, figures.photos_lost) == (0, 0, 0), str(figures)
    assert figures.broken == []
    assert len(figures.stored) == 12
    assert (figures.browser_kills, figures.server_kills) == (3, 2)


def test_a_killed_tablet_opens_and_works_while_the_server_is_gone(
    running: RunningShop, playwright: Playwright, tmp_path: Path
) -> None:
    """No emulation here: nothing listens at the address, and the browser starts anew."""
    rows = seed(running, checks=3, photos=0, people=1)
    tablet = Tablet(playwright, tmp_path / "tablet", f"http://127.0.0.1:{running.port}")
    try:
        page = tablet.start(offline=False)
        tablet.sign_in(rows["sessions"][0])
        page.goto(rows["path"])
        page.wait_for_selector(READY, timeout=60_000)
        running.end()
        tablet.kill()
        page = tablet.start(offline=False)
        open_check(page, rows["path"], "C-01")
        page.locator("#bay-offline", has_text="Offline, saved here.").wait_for()
        page.click("button[value=pass]")
        entry = acknowledged(page, "C-01")
        running.start()
        tablet.sign_in(rows["sessions"][0])
        wait_until_sent(page)
    finally:
        tablet.close()
    found, broken = stored(running)
    assert [one.id for one in found] == [entry]
    assert broken == []


def test_without_the_store_entries_are_lost(
    running: RunningShop, playwright: Playwright, tmp_path: Path
) -> None:
    """The control: the same shift on a store that forgets must be caught."""
    figures = Shift(
        running, playwright, tmp_path, checks=6, photos=0, browser_kills=0, server_kills=0,
        seed_number=7, forgetful=True,
    ).run()  # fmt: skip
    assert figures.lost > 0


def test_the_figures_see_what_is_lost_and_what_is_doubled() -> None:
    def one(id_: str, check: str, *photos: str) -> Stored:
        return Stored(id=id_, check=check, photos=photos)

    found = Figures(checks=3, acknowledged={"a", "b", "c"}, photos_sent=2)
    found.stored = [one("a", "C-1", "p"), one("x", "C-1"), one("c", "C-3")]
    assert (found.lost, found.doubled, found.photos_lost) == (1, 1, 1)


def test_eight_tablets_on_one_unit_lose_nothing_and_list_every_conflict(
    running: RunningShop, playwright: Playwright, tmp_path: Path
) -> None:
    """All enter the same checks offline, every other one says fail, and all connect at once."""
    rows = seed(running, checks=12, photos=0, people=EIGHT)
    base = f"http://127.0.0.1:{running.port}"
    tablets = [Tablet(playwright, tmp_path / f"tablet-{n}", base) for n in range(EIGHT)]
    trouble: list[str] = []
    try:
        entered: set[str] = set()
        for place, tablet in enumerate(tablets):
            page = tablet.start(offline=False)
            tablet.sign_in(rows["sessions"][place])
            page.on("response", lambda one: trouble.append(one.url) if one.status >= 500 else None)
            page.goto(rows["path"])
            page.wait_for_selector(READY, timeout=60_000)
            assert tablet.context is not None
            tablet.context.set_offline(True)
            for ref in SHARED:
                open_check(page, rows["path"], ref)
                page.click("button[value=fail]" if place % 2 else "button[value=pass]")
                entered.add(acknowledged(page, ref, timeout=15_000))
            page.goto("/outbox/")
        for tablet in tablets:
            assert tablet.context is not None
            tablet.context.set_offline(False)
        for tablet in tablets:
            wait_until_sent(tablet.page)
        page = tablets[0].page
        page.goto(f"{rows['path']}?state=decision")
        listed = page.locator("[data-check]").evaluate_all("(all) => all.map(o => o.dataset.check)")
    finally:
        for tablet in tablets:
            tablet.close()
    found, broken = stored(running)
    assert {one.id for one in found} == entered
    assert len(found) == EIGHT * len(SHARED)
    assert trouble == []
    assert broken == []
    assert sorted(listed) == SHARED
