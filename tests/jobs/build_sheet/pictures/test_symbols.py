import pytest

from jobs.build_sheet.pictures.shapes import Box, Dot, Text
from jobs.build_sheet.pictures.symbols import DEVICE_WIDTH, KINDS, MARKS, device, mark
from jobs.electrical.design import DeviceKind
from jobs.findings import Severity


def test_every_device_kind_has_a_sign_and_a_short_word():
    assert set(KINDS) == set(DeviceKind)
    signs = [repr(device(kind, x=0, y=0)) for kind in ("fuse_blade", "breaker_auto", "electronic")]
    assert len(set(signs)) == 3


@pytest.mark.parametrize("kind", [*KINDS, ""])
def test_device_stays_in_its_width(kind):
    for shape in device(kind, x=10, y=50):
        if isinstance(shape, Box):
            assert shape.x >= 10 and shape.right <= 10 + DEVICE_WIDTH
        if isinstance(shape, Dot):
            assert shape.x - shape.radius >= 10 and shape.x + shape.radius <= 10 + DEVICE_WIDTH


@pytest.mark.parametrize("state", list(Severity))
def test_mark_has_word_sign_and_frame_and_its_word_fits(state):
    shapes = mark(str(state), right=200, y=20)
    frame = next(shape for shape in shapes if isinstance(shape, Box))
    word = next(shape for shape in shapes if isinstance(shape, Text))
    assert word.words == MARKS[state]
    assert frame.holds(word.box)
    assert len(shapes) >= 3
