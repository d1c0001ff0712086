"""Rules that every page keeps, checked on the demo by walking through it."""

import re

import pytest
from django.core.management import call_command
from django.test import Client

from config.access import ROLES
from tests.browser import PHONE, axe, scrolls_sideways
from tests.conftest import make_person
from tests.pages import Page, read, walk

SIGNAL_WORDS = re.compile(r"\b(danger|warning|caution)\b", re.IGNORECASE)


def faults(page: Page) -> list[str]:
    """What is wrong with a page, each as a sentence."""
    found = []
    if page.status != 200:
        found.append(f"answers {page.status}")
    if page.tags["h1"] != 1:
        found.append(f"has {page.tags['h1']} first headings")
    if page.tags["main"] != 1:
        found.append(f"has {page.tags['main']} main parts")
    jumps = [
        f"h{before} to h{after}"
        for before, after in zip(page.headings, page.headings[1:], strict=False)
        if after > before + 1
    ]
    if jumps:
        found.append(f"skips heading levels: {', '.join(jumps)}")
    if page.main_buttons > 1:
        found.append(f"has {page.main_buttons} main buttons")
    if page.inline_code:
        found.append(f"has inline code: {', '.join(page.inline_code)}")
    twice = [name for name, count in page.ids.items() if count > 1]
    if twice:
        found.append(f"uses ids twice: {', '.join(twice)}")
    if not page.title.strip(" ·") or page.title.startswith(" ·"):
        found.append("has no title of its own")
    found += [f"has a button {text!r}" for text in page.buttons if "submit" in text.lower()]
    found += [f"has a button without words on {page.path}" for text in page.buttons if not text]
    found += [f"alarms in a notice: {text}" for text in page.notices if SIGNAL_WORDS.search(text)]
    return found


@pytest.fixture
def demo(db) -> Client:
    """The demo shop, seen by somebody who holds every role."""
    call_command("demo", verbosity=0)
    client = Client(raise_request_exception=False)
    client.force_login(make_person("walker", *ROLES, first="Wanda", last="Yew"))
    return client


@pytest.mark.slow
def test_every_page_one_can_walk_to_keeps_the_rules(demo: Client):
    pages = list(walk(demo))
    assert len({page.name for page in pages}) > 20
    wrong = [f"{page.path} {fault}" for page in pages for fault in faults(page)]
    assert wrong == []


def test_the_rules_find_what_they_are_for():
    """A page with every fault is caught for each of them."""
    page = read(
        "/bad/",
        "bad",
        500,
        "<title> · Shop</title><h1>One</h1><h1>Two</h1><h3 id='x'>Jump</h3><p id='x' style='x'>"
        "<script>1</script><button class='btn-main'>Submit it</button><a class='btn btn-main'></a>"
        "<div class='notice'>Warning: hot</div>",
    )
    assert len(faults(page)) == 11


@pytest.mark.browser
@pytest.mark.slow
def test_every_kind_of_page_is_accessible_and_fits_a_phone(append_only, open_as):
    call_command("demo", verbosity=0)
    walker = make_person("walker", *ROLES, first="Wanda", last="Yew")
    client = Client(raise_request_exception=False)
    client.force_login(walker)
    kinds = {page.name: page.path for page in walk(client) if page.status == 200}
    tab = open_as(walker)
    wrong = []
    for path in kinds.values():
        tab.set_viewport_size({"width": 1280, "height": 800})
        tab.goto(path)
        try:
            axe(tab)
        except AssertionError as error:
            wrong.append(f"{path}: {str(error)[:600]}")
        tab.set_viewport_size(PHONE)
        if scrolls_sideways(tab):
            wrong.append(f"{path}: scrolls sideways on a phone")
    assert wrong == []
