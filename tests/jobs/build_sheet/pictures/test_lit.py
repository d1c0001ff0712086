import pytest

from jobs.build_sheet.pictures.lit import Driven, Lamp, lit_plan
from tests.drawings import LONG, clashes, outside

ZONES = ("front", "rear", "left", "right", "roof", "")


def lamp(zone="front", label="bar", colours=("red",), shows="red, slow", changed=False, x_mm=None):
    return Lamp(
        label=label, zone=zone, shows=shows, colours=colours, has_changed=changed, x_mm=x_mm
    )


def driven(label="mast up", x_mm=1000.0, y_mm=0.0, on=False, alarm=False, changed=False):
    return Driven(label=label, is_on=on, has_changed=changed, is_alarm=alarm, x_mm=x_mm, y_mm=y_mm)


def plan(lamps=(), outputs=(), wheelbase_mm=3500.0):
    return lit_plan(list(lamps), list(outputs), wheelbase_mm=wheelbase_mm, words="Words.")


@pytest.mark.parametrize("count", [1, 20, 90])
def test_words_never_lie_on_words_or_leave_the_sheet(count):
    lamps = [lamp(zone=ZONES[at % 6], label=LONG, shows=LONG) for at in range(count // 3)]
    outputs = [driven(label=LONG, x_mm=900.0 * (at % 4), on=bool(at % 2)) for at in range(count)]
    found = plan(lamps, outputs)
    assert clashes(found) == [] and outside(found) == []


def test_labels_stand_still_whatever_is_on():
    def boxes(on):
        rows = [driven(label=f"output {at}", on=on and at % 2 == 0) for at in range(30)]
        lit = lamp(colours=("red",) * on, shows="red, slow" if on else "dark")
        frames = [box for box in plan([lit], rows).boxes if box.look.startswith("shown")]
        return [(box.x, box.y, box.width) for box in frames]

    assert boxes(True) == boxes(False)


@pytest.mark.parametrize(
    ("changes", "look"),
    [
        ({}, "shown shown-dark"),
        ({"on": True}, "shown shown-lit"),
        ({"on": True, "alarm": True}, "shown shown-alarm"),
        ({"alarm": True}, "shown shown-dark"),
        ({"on": True, "changed": True}, "shown shown-lit shown-changed"),
    ],
)
def test_a_state_is_a_frame_and_a_word(changes, look):
    found = plan(outputs=[driven(**changes)])
    frames = [box.look for box in found.boxes if box.look.startswith("shown") and box.y > 4]
    assert frames == [look]
    word = "mast up: on" if changes.get("on") else "mast up: off"
    assert word in [text.words for text in found.texts]


def test_each_colour_that_is_lit_has_a_swatch_beside_its_word():
    found = plan([lamp(colours=("red", "amber", "violet"), shows="3 colours, slow")])
    looks = [box.look for box in found.boxes if box.look.startswith("lamp")]
    assert looks == ["lamp lamp-red", "lamp lamp-amber", "lamp lamp-other"]
    assert "3 colours, slow" in [text.words for text in found.texts]


def test_a_head_lies_in_its_zone():
    found = plan([lamp(zone=zone, label=zone) for zone in ("front", "rear", "left", "right")])
    at = {text.words: (text.x, text.y) for text in found.texts}
    assert at["front"][0] < at["left"][0] < at["rear"][0]
    assert at["right"][1] < at["front"][1] < at["left"][1]  # from above, front on the left


def test_without_a_wheelbase_a_plain_van_is_drawn():
    found = plan([lamp()], [driven(x_mm=99_999.0)], wheelbase_mm=None)
    assert outside(found) == []
    assert all(x <= found.width for line in found.under for x, _ in line.points)
