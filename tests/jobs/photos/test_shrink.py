"""Previews: upright, small, without metadata, made where a hostile picture does no harm."""

import os
import time
from pathlib import Path

import pytest
from PIL import Image

from jobs.photos.shrink import MEMORY_BYTES, ShrinkError, in_limited_child, shrink
from tests import pictures

# Where the first stored pixel belongs, by the camera's orientation mark: (right, bottom).
UPRIGHT_CORNER = dict(enumerate([(0, 0), (1, 0), (1, 1), (0, 1)] * 2, start=1))


def make(tmp_path: Path, data: bytes) -> tuple[Image.Image, Image.Image]:
    source, large, small = tmp_path / "source", tmp_path / "large", tmp_path / "small"
    source.write_bytes(data)
    in_limited_child(lambda: shrink(source, large, small))
    with Image.open(large) as one, Image.open(small) as two:
        one.load()
        two.load()
        return one, two


@pytest.mark.parametrize(
    ("size", "large", "small"),
    [
        ((4000, 3000), (1600, 1200), (400, 300)),
        ((3000, 4000), (1200, 1600), (300, 400)),
        ((1600, 1200), (1600, 1200), (400, 300)),
        ((300, 200), (300, 200), (300, 200)),
        ((3000, 2), (1600, 1), (400, 1)),
    ],
)
def test_previews_keep_the_aspect_and_never_grow(tmp_path, size, large, small) -> None:
    one, two = make(tmp_path, pictures.jpeg(size=size))
    assert (one.size, two.size) == (large, small)
    assert (one.format, two.format) == ("JPEG", "JPEG")


@pytest.mark.parametrize("orientation", range(1, 9))
def test_previews_stand_upright(tmp_path: Path, orientation: int) -> None:
    """The corner that is red after Pillow's own turning is red in the preview."""
    image = Image.new("RGB", (800, 400), "white")
    image.paste("red", (0, 0, 200, 100))
    exif = Image.Exif()
    exif[0x0112] = orientation
    one, _ = make(tmp_path, pictures.saved(image, exif=exif))
    assert one.size == ((800, 400) if orientation < 5 else (400, 800))
    corners = {
        (x, y): one.getpixel((x * (one.width - 9) + 4, y * (one.height - 9) + 4))
        for x in (0, 1)
        for y in (0, 1)
    }
    red = [place for place, (_, green, _) in corners.items() if green < 100]
    assert red == [UPRIGHT_CORNER[orientation]]


def test_previews_hold_no_metadata(tmp_path: Path) -> None:
    data = pictures.turned_jpeg(6)
    assert b"Camera of nobody" in data
    one, two = make(tmp_path, data)
    for image in (one, two):
        assert len(image.getexif()) == 0
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    for name in ("large", "small"):
        assert b"Camera" not in (tmp_path / name).read_bytes()


@pytest.mark.parametrize("mode", ["L", "P", "RGBA", "LA", "CMYK"])
def test_every_kind_of_pixel_becomes_plain_colour(tmp_path: Path, mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    one, _ = make(tmp_path, pictures.saved(pictures.test_card().convert(mode), kind))
    assert one.mode == "RGB"


def test_what_was_transparent_becomes_white(tmp_path: Path) -> None:
    clear = Image.new("RGBA", (100, 100), (0, 0, 0, 0))
    one, _ = make(tmp_path, pictures.saved(clear, "PNG"))
    assert one.getpixel((50, 50)) == (255, 255, 255)


@pytest.mark.parametrize("name", ["half", "noise", "bomb"])
def test_what_cannot_be_decoded_is_said(tmp_path: Path, name: str) -> None:
    data = {
        "half": pictures.half_jpeg,
        "noise": lambda: b"\xff\xd8\xff" + os.urandom(500),
        "bomb": lambda: pictures.png_bomb(9_000),
    }[name]()
    with pytest.raises(ShrinkError, match="cannot be decoded"):
        make(tmp_path, data)
    assert not (tmp_path / "large").exists()


def test_half_a_photo_is_refused_whatever_the_renderer_has_set(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr("PIL.ImageFile.LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(ShrinkError, match="cannot be decoded"):
        make(tmp_path, pictures.half_jpeg())


def test_child_that_wants_too_much_memory_ends_alone() -> None:
    with pytest.raises(ShrinkError, match="too much memory"):
        in_limited_child(lambda: bytearray(MEMORY_BYTES))


def test_child_that_takes_too_long_is_stopped() -> None:
    began = time.monotonic()
    with pytest.raises(ShrinkError, match="decoding was stopped"):
        in_limited_child(lambda: time.sleep(30), seconds=1)
    assert time.monotonic() - began < 5


def test_child_that_is_killed_is_told() -> None:
    with pytest.raises(ShrinkError, match="Killed"):
        in_limited_child(lambda: os.kill(os.getpid(), 9))


def test_child_never_runs_on_in_the_parents_code() -> None:
    def leave() -> None:
        raise SystemExit(0)

    with pytest.raises(ShrinkError):
        in_limited_child(leave)
