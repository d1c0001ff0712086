import pytest

from jobs.build_sheet.pictures.overview import ROWS_A_SHEET, overview_pictures
from jobs.build_sheet.pictures.parts import SupplyPart
from tests.drawings import LONG, MAIN, clashes, feed, outside

SHORE = SupplyPart(ref="SHORE", name=LONG, detail="120.0 V")


@pytest.mark.parametrize("count", [0, 1, 8, 20])
def test_overview_pictures_have_no_words_over_one_another(count):
    feeds = [feed(3, ref=f"F{number}") for number in range(count)]
    for sheet in overview_pictures([MAIN, SHORE], feeds):
        assert clashes(sheet) == []
        assert outside(sheet) == []


def test_overview_pictures_say_of_a_supply_that_nothing_leaves_it():
    (sheet,) = overview_pictures([SHORE], [])
    assert "No feed leaves from here." in [text.words for text in sheet.texts]


def test_overview_pictures_say_what_a_link_joins():
    (sheet,) = overview_pictures([MAIN, SHORE], [feed(1, ref="E", second=SHORE)])
    assert "Joins MAIN to SHORE, 1,250 A at both ends" in [text.words for text in sheet.texts]


def test_overview_pictures_split_many_feeds_and_repeat_the_supply():
    feeds = [feed(1, ref=f"F{number}") for number in range(ROWS_A_SHEET + 1)]
    first, second = overview_pictures([MAIN], feeds)
    assert first.height / first.width < 155 / 247
    assert "MAIN" in [text.words for text in second.texts]
