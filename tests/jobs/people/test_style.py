"""The style sheets hold every part in every state, so what is true here is true of the pages."""

import itertools

import brotli
import pytest
from django.urls import reverse

from tests.browser import (
    BAY_TARGET,
    MODES,
    OFFICE_TARGET,
    PHONE,
    SIZES,
    TALL,
    WIDE,
    axe,
    scrolls_sideways,
    too_small,
)

pytestmark = [pytest.mark.browser, pytest.mark.slow]

OFFICE = "/style/"
BAY = "/style/bay/"
LARGE_TEXT = [{"width": 640, "height": 400}, {"width": 320, "height": 256}]  # 200 and 400 %


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("size", [WIDE, TALL, PHONE], ids=["wide", "tall", "phone"])
def test_every_part_passes_the_accessibility_rules(open_as, technician, mode, size):
    page = open_as(technician, OFFICE, mode=mode, viewport=size)
    axe(page)
    page.goto(BAY)
    axe(page, bay=True)


@pytest.mark.parametrize(
    "wish",
    [{"forced_colors": "active"}, {"color_scheme": "dark"}, {"contrast": "more"}],
    ids=lambda wish: next(iter(wish)),
)
def test_what_the_device_asks_for_passes_too(open_as, technician, wish):
    page = open_as(technician, OFFICE, mode="auto", **wish)
    axe(page)


def test_the_device_chooses_the_colours_until_somebody_does(open_as, technician):
    def ground(mode: str, **wish) -> str:
        page = open_as(technician, OFFICE, mode=mode, **wish)
        return page.evaluate("() => getComputedStyle(document.documentElement).backgroundColor")

    paper, night, glare = "rgb(245, 243, 238)", "rgb(16, 21, 26)", "rgb(255, 255, 255)"
    assert ground("auto") == paper
    assert ground("auto", color_scheme="dark") == night
    assert ground("auto", contrast="more") == glare
    assert ground("paper", color_scheme="dark") == paper
    assert ground("night") == night
    assert ground("glare", color_scheme="dark") == glare


@pytest.mark.parametrize("size", SIZES + LARGE_TEXT, ids=lambda size: str(size["width"]))
def test_pages_fit_and_targets_are_large_enough(open_as, technician, size):
    page = open_as(technician, OFFICE, viewport=size)
    assert not scrolls_sideways(page)
    assert too_small(page, OFFICE_TARGET) == []
    page.goto(BAY)
    assert not scrolls_sideways(page)
    assert too_small(page, BAY_TARGET) == []


@pytest.mark.parametrize("size", [WIDE, TALL], ids=["wide", "tall"])
def test_bay_actions_are_made_for_gloves(open_as, technician, size):
    page = open_as(technician, BAY, viewport=size)
    height = {
        button.inner_text(): button.bounding_box()["height"]
        for button in page.locator(".bay-actions .btn").all()
    }
    assert height["Pass"] >= 112
    assert height["Fail"] >= 96
    assert height["Does not apply"] >= 96
    boxes = [button.bounding_box() for button in page.locator(".bay-actions .btn").all()]
    for one, other in itertools.pairwise(boxes):
        beside = other["x"] - (one["x"] + one["width"])
        below = other["y"] - (one["y"] + one["height"])
        assert max(beside, below) >= 16


def test_a_bay_page_without_actions_gives_their_room_to_the_content(open_as, technician):
    page = open_as(technician, BAY)
    page.evaluate("() => document.querySelector('.bay-actions').replaceChildren('\\n')")
    page.evaluate("() => document.querySelector('.bay-undo').replaceChildren('\\n')")
    assert not page.locator(".bay-actions").is_visible()
    assert not page.locator(".bay-undo").is_visible()
    assert page.locator("main").bounding_box()["width"] == WIDE["width"]


@pytest.mark.parametrize(
    ("path", "most_kb", "most_files"),
    [(OFFICE, 150, 15), (BAY, 118, 19)],
)
def test_a_first_visit_stays_small(open_as, technician, path, most_kb, most_files):
    """Sizes as the production server sends them, that is compressed, fonts included."""
    page = open_as(technician, "/healthz")
    bodies = {}
    page.on("response", lambda answer: bodies.setdefault(answer.url, answer))
    page.goto(path)
    page.wait_for_load_state("networkidle")
    sizes = {url: len(brotli.compress(answer.body())) for url, answer in bodies.items()}
    assert len(sizes) <= most_files
    assert sum(sizes.values()) <= most_kb * 1024, sizes


def test_text_may_be_spaced_out_without_losing_any(open_as, technician):
    page = open_as(technician, OFFICE, viewport=PHONE, bypass_csp=True)
    page.add_style_tag(
        content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
        " word-spacing: 0.16em !important } p { margin-bottom: 2em !important }"
    )
    assert not scrolls_sideways(page)
    cut = page.evaluate(
        "() => [...document.querySelectorAll('.btn, .status, .notice, th, td, dd, label')]"
        ".filter(e => e.scrollWidth > e.clientWidth + 1)"
        ".filter(e => getComputedStyle(e).overflow !== 'visible')"
        ".map(e => e.outerHTML.slice(0, 80))"
    )
    assert cut == []


def test_nothing_moves_for_people_who_ask_for_stillness(open_as, technician):
    page = open_as(technician, OFFICE, reduced_motion="reduce")
    moving = page.evaluate(
        "() => [...document.querySelectorAll('*')].filter(e => {"
        " const s = getComputedStyle(e);"
        " return parseFloat(s.transitionDuration) > 0 || parseFloat(s.animationDuration) > 0;"
        "}).length"
    )
    assert moving == 0


def test_every_stop_of_the_keyboard_is_visible_and_ringed(open_as, technician):
    """Tab through the whole page: each stop is on top where it is drawn and wears a ring."""
    for path in (OFFICE, BAY):
        page = open_as(technician, path)
        page.evaluate("() => document.activeElement.blur()")
        stops = 0
        for _ in range(120):
            page.keyboard.press("Tab")
            found = page.evaluate(
                "() => { const e = document.activeElement; if (e === document.body) return null;"
                " const r = e.getBoundingClientRect(), s = getComputedStyle(e);"
                " const y = r.y + Math.min(r.height / 2, 20);"
                " const hit = document.elementFromPoint(r.x + r.width / 2, y);"
                " return [e.outerHTML.slice(0, 70), parseFloat(s.outlineWidth),"
                " !!hit && (e.contains(hit) || hit.contains(e))]; }"
            )
            if found is None:
                break
            stops += 1
            assert found[1] >= 3, found
            assert found[2], f"hidden: {found}"
        assert stops > 8


def test_a_refused_form_is_announced_and_leads_to_its_fields(open_as, manager):
    page = open_as(manager, reverse("jobs:shop_settings"))
    page.get_by_label("Shop name").fill("")
    page.get_by_label("Labour rate per hour ($)").fill("a lot")
    page.get_by_role("button", name="Save shop settings").click()
    summary = page.locator(".error-summary")
    assert page.title().startswith("Error: ")
    assert summary.evaluate("e => e === document.activeElement")
    axe(page)
    page.get_by_role("link", name="Labour rate per hour ($): a lot is not a number").click()
    field = page.get_by_label("Labour rate per hour ($)")
    assert field.evaluate("e => e === document.activeElement")
    assert field.input_value() == "a lot"
    described = field.get_attribute("aria-describedby")
    assert all(page.locator(f"[id='{name}']").count() == 1 for name in described.split())
