"""What browser tests share: a signed-in page on the live server, and rules every page must meet.

def test_part_list_is_accessible(open_as, manager):
    page = open_as(manager, "/parts/")
    axe(page)
    assert too_small(page, OFFICE_TARGET) == []
    assert not scrolls_sideways(page)
"""

from collections.abc import Iterator
from typing import Any, Protocol

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.test import Client
from playwright.sync_api import Page

WIDE = {"width": 1280, "height": 800}
TALL = {"width": 800, "height": 1280}
PHONE = {"width": 390, "height": 844}
SIZES = [WIDE, TALL, PHONE]
MODES = ["paper", "night", "glare"]
OFFICE_TARGET = 44
BAY_TARGET = 64

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

# Everything one can press, except links inside a sentence and what only screen readers see.
SMALL = """(least) => {
  const pressed = 'a, button, select, summary, label.btn, textarea, '
    + 'input:not([type=hidden], [type=checkbox], [type=radio])';
  const exempt = 'p:not(:has(> .task-link), .shop), .error-summary, .prose, .vh, .skip';
  return [...document.querySelectorAll(pressed)]
    .filter(e => e.getClientRects().length && !e.closest(exempt))
    .map(e => [e, e.getBoundingClientRect()])
    .filter(([e, r]) => Math.round(r.width) < least || Math.round(r.height) < least)
    .map(([e, r]) => `${Math.round(r.width)}x${Math.round(r.height)} ${e.outerHTML.slice(0, 90)}`);
}"""


class OpenAs(Protocol):
    def __call__(
        self, person: User | None, path: str = "/", *, mode: str = "paper", **options: Any
    ) -> Page: ...


def axe(page: Page, *, bay: bool = False) -> None:
    """No accessibility rule is broken; bay pages also meet the enhanced contrast."""
    rules = {"color-contrast-enhanced": {"enabled": True}} if bay else {}
    options = {"runOnly": {"type": "tag", "values": TAGS}, "rules": rules}
    result = Axe().run(page, options=options)
    assert result.violations_count == 0, result.generate_report()


def too_small(page: Page, least: int) -> list[str]:
    """Targets under `least` CSS pixels in either direction, with their size."""
    return page.evaluate(SMALL, least)


def scrolls_sideways(page: Page) -> bool:
    return page.evaluate("() => document.documentElement.scrollWidth > innerWidth")


@pytest.fixture
def open_as(append_only, live_server, browser, settings) -> Iterator[OpenAs]:
    """Open a page as somebody (None: signed out). At the end no page may have broken the CSP."""
    settings.PUBLIC_URL = live_server.url
    contexts, complaints = [], []

    def listen(page: Page) -> None:
        page.on("console", lambda line: complaints.append(line.text))
        page.on("pageerror", lambda error: complaints.append(f"script: {error}"))

    def open_page(
        person: User | None, path: str = "/", *, mode: str = "paper", **options: Any
    ) -> Page:
        context = browser.new_context(base_url=live_server.url, **{"viewport": WIDE, **options})
        contexts.append(context)
        context.on("page", listen)
        cookies = [{"name": "mode", "value": mode, "url": live_server.url}]
        if person is not None:
            client = Client()
            client.force_login(person)
            key = client.cookies[settings.SESSION_COOKIE_NAME].value
            cookies.append(
                {"name": settings.SESSION_COOKIE_NAME, "value": key, "url": live_server.url}
            )
        context.add_cookies(cookies)
        page = context.new_page()
        page.goto(path)
        return page

    yield open_page
    for context in contexts:
        context.close()
    broken = [text for text in complaints if "Content Security Policy" in text or "script:" in text]
    assert broken == []
