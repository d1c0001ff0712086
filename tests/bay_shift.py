"""A whole shift on a tablet that keeps dying: what the screen acknowledged is there once."""

import random
import time
from pathlib import Path

from playwright.sync_api import Error, Playwright

from tests.bay import (
    CHECK,
    READY,
    Figures,
    Tablet,
    acknowledged,
    fill,
    is_recorded,
    make_pictures,
    open_check,
    restart_server,
    seed,
    stored,
    wait_until_sent,
)
from tests.running import RunningShop


class Shift:
    """Enter every check offline, in as many parts as the server is killed, and send each part."""

    def __init__(
        self,
        shop: RunningShop,
        playwright: Playwright,
        folder: Path,
        *,
        checks: int,
        photos: int,
        browser_kills: int,
        server_kills: int,
        seed_number: int,
        forgetful: bool = False,
    ) -> None:
        self.shop, self.chance = shop, random.Random(seed_number)
        rows = seed(shop, checks=checks, photos=photos, people=1)
        self.path, self.session = rows["path"], rows["sessions"][0]
        base = f"http://127.0.0.1:{shop.port}"
        self.tablet = Tablet(playwright, folder / "profile", base, forgetful=forgetful)
        self.refs = [f"C-{place:02d}" for place in range(1, checks + 1)]
        self.pictures = dict(
            zip(self.refs[2::3], make_pictures(folder, photos, seed=seed_number), strict=False)
        )
        self.figures = Figures(checks=checks, photos_sent=len(self.pictures))
        self.dying = set(self.chance.sample(self.refs, browser_kills))
        cuts = max(server_kills, 1)
        self.parts = [self.refs[place::cuts] for place in range(cuts)]
        self.server_kills = server_kills

    def run(self) -> Figures:
        began = time.monotonic()
        try:
            self._prepare()
            for part in self.parts:
                self._enter_part(sorted(part))
                self._send_while_server_dies()
            self._finish()
        finally:
            self.tablet.close()
        self.figures.stored, self.figures.broken = stored(self.shop)
        self.figures.seconds = time.monotonic() - began
        return self.figures

    def _prepare(self) -> None:
        page = self.tablet.start(offline=False)
        self.tablet.sign_in(self.session)
        page.goto(self.path)
        page.wait_for_selector(READY, timeout=60_000)
        assert self.tablet.context is not None
        self.tablet.context.set_offline(True)

    def _enter_part(self, refs: list[str]) -> None:
        for ref in refs:
            while not self._enter(ref):
                pass

    def _enter(self, ref: str) -> bool:
        """Record one check. False when the browser died before the screen said that it is saved."""
        page = self.tablet.page
        open_check(page, self.path, ref)
        if is_recorded(page):
            return True
        fill(page, self.pictures.get(ref))
        dies = ref in self.dying
        self.dying.discard(ref)
        moment = self.chance.choice(("before", "during", "after")) if dies else ""
        if moment == "before":
            self._die()
            return False
        if moment == "during":
            page.evaluate("() => setTimeout(() => document.querySelector('[value=pass]').click())")
            time.sleep(self.chance.random() / 10)
            self._die()
            return False
        page.click("button[value=pass]")
        self.figures.acknowledged.add(acknowledged(page, ref))
        if moment == "after":
            self._die()
        else:
            self._let_the_page_move_on(ref)
        return True

    def _let_the_page_move_on(self, ref: str) -> None:
        page = self.tablet.page
        for _ in range(20):
            found = CHECK.search(page.url)
            if found is None or found[1] != ref:
                return
            time.sleep(0.05)

    def _die(self) -> None:
        self.tablet.kill()
        self.figures.browser_kills += 1
        self.tablet.start(offline=True)
        # Chromium writes cookies to its profile some seconds late: the person signs in again.
        self.tablet.sign_in(self.session)

    def _send_while_server_dies(self) -> None:
        """Connect, and kill the web server somewhere in the middle of sending."""
        assert self.tablet.context is not None
        if not self.server_kills:
            return
        self._open_outbox()
        self.tablet.context.set_offline(False)
        time.sleep(self.chance.random() / 2)
        restart_server(self.shop)
        self.figures.server_kills += 1
        self.tablet.context.set_offline(True)

    def _open_outbox(self) -> None:
        for _ in range(3):
            try:
                self.tablet.page.goto("/outbox/")
                return
            except Error:
                time.sleep(0.3)

    def _finish(self) -> None:
        assert self.tablet.context is not None
        self.tablet.context.set_offline(False)
        wait_until_sent(self.tablet.page)
