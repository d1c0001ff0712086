"""The colours people read by, recomputed from the style sheets themselves (WCAG 2 formula)."""

import re
from pathlib import Path

import pytest
from django.conf import settings

CSS = Path(settings.BASE_DIR) / "config" / "static" / "css"
TOKEN = re.compile(r"--([a-z0-9-]+):\s*(#[0-9A-Fa-f]{6});")
GROUNDS = ("ground", "surface", "sunken")
WORDS = ("ok", "bad", "wait", "info")


def luminance(colour: str) -> float:
    def linear(part: str) -> float:
        value = int(part, 16) / 255
        return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(colour[at : at + 2]) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours.

    >>> contrast("#000000", "#FFFFFF")
    21.0
    """
    bright, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def tokens(mode: str) -> dict[str, str]:
    found = dict(TOKEN.findall((CSS / "tokens.css").read_text()))
    if mode != "paper":
        found.update(TOKEN.findall((CSS / f"{mode}.css").read_text()))
    return found


def pairs(mode: str) -> list[tuple[str, str, float]]:
    """Foreground, background, least contrast."""
    text = 12.0 if mode == "glare" else 7.0
    edge = 12.0 if mode == "glare" else 3.0
    second = 12.0 if mode == "glare" else 4.5
    wanted = [("ink", ground, text) for ground in (*GROUNDS, "act-soft")]
    wanted += [("ink-2", ground, text) for ground in ("ground", "surface")]
    wanted += [("ink-2", "sunken", second)]
    wanted += [("edge", ground, edge) for ground in GROUNDS]
    wanted += [(word, "surface", text) for word in (*WORDS, "act", "act-hover")]
    wanted += [(word, f"{word}-soft", text) for word in WORDS]
    wanted += [("on-act", "act", text), ("on-act", "act-hover", text), ("surface", "ink", text)]
    # The petrol of Night on its own tint is 6.9:1; it is a hover state only.
    wanted += [("act", "act-soft", 12.0 if mode == "glare" else 6.8)]
    return wanted


@pytest.mark.parametrize("mode", ["paper", "night", "glare"])
def test_every_mode_keeps_its_contrast(mode: str):
    colours = tokens(mode)
    faint = [
        f"{front} on {back}: {contrast(colours[front], colours[back]):.2f}, at least {least}"
        for front, back, least in pairs(mode)
        if contrast(colours[front], colours[back]) < least
    ]
    assert faint == []


def test_night_and_glare_set_the_same_colours_as_paper():
    paper = tokens("paper")
    for mode in ("night", "glare"):
        own = dict(TOKEN.findall((CSS / f"{mode}.css").read_text()))
        assert own.keys() == paper.keys()


def test_colours_are_named_once_and_style_sheets_stay_small():
    """Outside the tokens only hazard panels name colours: theirs are fixed by convention."""
    lines = {path.name: path.read_text().splitlines() for path in CSS.glob("*.css")}
    assert sum(len(found) for found in lines.values()) <= 700
    for name in ("base.css", "bay.css"):
        assert [line for line in lines[name] if re.search(r"#[0-9A-Fa-f]{3,6}\b", line)] == []
    named = [line for line in lines["components.css"] if re.search(r"#[0-9A-Fa-f]{3,6}\b", line)]
    assert [line for line in named if not line.startswith(".hazard")] == []
