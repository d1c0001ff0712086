from importlib.resources import files
from string import printable

import pytest
from fontTools.ttLib import TTFont

from jobs.build_sheet.pictures.shapes import Box, Line, Text, picture, shorten, text_width, wrap

LETTERS = printable[:95] + "×·…Ωμ°éłŁ"


@pytest.mark.parametrize("weight", ["Regular", "Bold"])
def test_text_width_is_never_below_the_real_letter(weight):
    folder = files("fontpkg_atkinson_hyperlegible") / "files"
    with (folder / f"AtkinsonHyperlegible-{weight}.ttf").open("rb") as file:
        font = TTFont(file)
        known, advances, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
        for letter in LETTERS:
            real = advances[known[ord(letter)]][0] / em
            assert text_width(letter, size=1) >= real, letter


def test_text_width_of_mono_is_never_below_the_real_letter():
    folder = files("fontpkg_ibm_plex_mono") / "files"
    with (folder / "IBMPlexMono-SemiBold.ttf").open("rb") as file:
        font = TTFont(file)
        real = font["hmtx"][font.getBestCmap()[ord("A")]][0] / font["head"].unitsPerEm
    assert text_width("A", size=1, mono=True) >= real


def test_shorten_keeps_what_fits_and_ends_the_rest_with_dots():
    assert shorten("Lightbar", 200, size=14) == "Lightbar"
    cut = shorten("Lightbar on the leading edge", 100, size=14)
    assert cut.startswith("Lightbar") and cut.endswith("…")
    assert text_width(cut, size=14) <= 100


def test_shorten_into_no_room_leaves_the_dots():
    assert shorten("Lightbar", 1, size=14) == "…"


def test_wrap_breaks_between_words_and_shortens_the_last_line():
    lines = wrap("Isolator under the left front seat", 90, size=13, most=2)
    assert lines[0] == "Isolator"[: len(lines[0])] or lines[0].startswith("Isolator")
    assert len(lines) == 2
    assert all(text_width(line, size=13) <= 90 for line in lines)
    assert wrap("", 90, size=13) == []


def test_text_box_follows_its_anchor():
    start, middle, end = (
        Text(x=100, y=20, words="12.64 V", anchor=anchor).box
        for anchor in ("start", "middle", "end")
    )
    assert start.x == 100
    assert middle.x + middle.width / 2 == pytest.approx(100)
    assert end.right == pytest.approx(100)


def test_boxes_that_only_touch_do_not_overlap():
    left, right = Box(x=0, y=0, width=10, height=10), Box(x=10, y=0, width=10, height=10)
    assert not left.overlaps(right)
    assert left.overlaps(Box(x=9, y=9, width=10, height=10))


def test_picture_puts_lines_in_their_layer_and_drops_empty_words():
    made = picture(
        key="k", title="T", words="W", width=9, height=9,
        shapes=[
            Line(points=((0, 0), (1, 1)), under=True), Line(points=((0, 0), (2, 2))),
            Text(x=0, y=0, words=""),
        ],
    )  # fmt: skip
    assert [line.path for line in made.under] == ["0,0 1,1"]
    assert [line.path for line in made.lines] == ["0,0 2,2"]
    assert made.texts == ()
