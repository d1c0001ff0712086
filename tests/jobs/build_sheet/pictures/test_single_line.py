import pytest

from jobs.build_sheet.pictures.single_line import ROWS_A_SHEET, feed_pictures
from tests.drawings import MAIN, circuit, clashes, feed, outside

# A landscape sheet with its heading leaves this much height for its width.
SHEET = 155 / 247


@pytest.mark.parametrize("count", [0, 1, 2, 14, 35, 120])
def test_feed_pictures_have_no_words_over_one_another(count):
    for sheet in feed_pictures(feed(count)):
        assert clashes(sheet) == []
        assert outside(sheet) == []


def test_feed_pictures_of_a_link_show_the_device_at_both_ends():
    (sheet,) = feed_pictures(feed(1, second=MAIN))
    assert [text.words for text in sheet.texts].count("1,250 A") == 2
    assert clashes(sheet) == []


def test_feed_pictures_split_120_circuits_into_sheets_that_fit_the_paper():
    sheets = feed_pictures(feed(120))
    assert len(sheets) == 120 // ROWS_A_SHEET
    assert all(sheet.height / sheet.width < SHEET for sheet in sheets)
    assert sheets[1].title.endswith("sheet 2 of 8")
    assert len({sheet.key for sheet in sheets}) == 8


def test_feed_pictures_keep_every_circuit_once():
    shown = [text.words for sheet in feed_pictures(feed(40)) for text in sheet.texts]
    assert all(shown.count(f"A-{number:03}") == 1 for number in range(40))


def test_feed_pictures_go_node_by_node_and_then_the_direct_circuits():
    part = feed(9)
    assert [each.node for each in part.by_node()] == ["N1"] * 3 + ["N2"] * 3 + [""] * 3


def test_feed_pictures_of_equal_data_are_equal():
    assert feed_pictures(feed(20)) == feed_pictures(feed(20))


def test_feed_pictures_change_only_the_row_that_changed():
    one = feed(14)
    circuits = list(one.circuits)
    circuits[4] = circuit(4, wire="8 AWG")
    other = type(one)(
        **{name: getattr(one, name) for name in one.__slots__ if name != "circuits"},
        **{
            name: getattr(one, name)
            for name in ("ref", "name", "device", "kind", "wire", "colour", "length", "current",
                         "state")
        },
        circuits=tuple(circuits),
    )  # fmt: skip
    before, after = feed_pictures(one)[0].texts, feed_pictures(other)[0].texts
    changed = [b for a, b in zip(before, after, strict=True) if a != b]
    assert [text.words for text in changed] == ["8 AWG"]


def test_feed_pictures_of_a_circuit_on_the_feeds_own_wire_draw_no_second_device():
    part = feed(0)
    own = circuit(1, kind="fuse_bolt", whole_feed=True, node="")  # type: ignore[arg-type]
    with_own = type(part)(
        ref="D", name="Inverter", device="250 A", kind="fuse_bolt", wire="4/0 AWG", colour="red",
        length="5 ft", current="189 A average, 189 A peak", state="pass", supply=MAIN,
        circuits=(own,),
    )  # fmt: skip
    (sheet,) = feed_pictures(with_own)
    assert sum(box.look == "device" for box in sheet.boxes) == 1
    assert "feed's own device and wire" in [text.words for text in sheet.texts]
