"""Fifty kinds of uploads: refused with a sentence, or taken as they are."""

import io
from contextlib import suppress
from pathlib import Path

import pytest
from PIL import Image

from jobs.photos.headers import LONGEST_NAME, MOST_SCANS, PhotoError, read_header, shown_name
from tests import pictures
from tests.pictures import upload, upload_from_disk

GOOD = {
    "plain.jpg": pictures.jpeg,
    "UPPER.JPG": pictures.jpeg,
    "long.jpeg": pictures.jpeg,
    "progressive.jpg": lambda: pictures.jpeg(progressive=True),
    "grey.jpg": lambda: pictures.saved(pictures.test_card().convert("L")),
    "ink.jpg": lambda: pictures.saved(pictures.test_card().convert("CMYK")),
    "turned.jpg": lambda: pictures.turned_jpeg(6),
    "phone.jpg": pictures.phone_jpeg,
    "polyglot.jpg": pictures.polyglot_jpeg,
    "plain.png": lambda: pictures.card("PNG"),
    "palette.png": lambda: pictures.saved(pictures.test_card().convert("P"), "PNG"),
    "glass.png": lambda: pictures.saved(pictures.test_card().convert("RGBA"), "PNG"),
    "plain.webp": lambda: pictures.card("WEBP"),
    "hundred.jpg": lambda: pictures.many_scans_jpeg(MOST_SCANS),
    "Łódź ≥ ½ Ω.jpg": pictures.jpeg,
    "half.jpg": pictures.half_jpeg,  # its header is right; the worker finds out
}

EPS = b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 10 10\nshowpage\n" + bytes(100)
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>' + b" " * 64
HEIC = bytes(4) + b"ftypheic" + bytes(200)

BAD = {
    "empty.jpg": (lambda: b"", "is 0 bytes; at least 64"),
    "tiny.jpg": (lambda: pictures.jpeg()[:63], "is 63 bytes; at least 64"),
    "text.jpg": (lambda: b"hello " * 50, "is not an image; it must be a JPEG, PNG or WebP file"),
    "page.jpg": (lambda: b"<html><script>1</script></html>" * 5, "is not an image"),
    "script.jpg": (lambda: EPS, "is not an image"),
    "drawing.svg": (lambda: SVG, "is not an image"),
    "drawing.jpg": (lambda: SVG, "is not an image"),
    "paper.jpg": (lambda: b"%PDF-1.7\n" + bytes(200), "is not an image"),
    "archive.jpg": (lambda: b"PK\x03\x04" + bytes(200), "is not an image"),
    "program.jpg": (lambda: b"\x7fELF" + bytes(200), "is not an image"),
    "phone.heic": (lambda: HEIC, "is not an image"),
    "phone.jpg": (lambda: HEIC, "is not an image"),
    "moving.gif": (lambda: pictures.animated("GIF"), "is not an image"),
    "bitmap.bmp": (lambda: pictures.card("BMP"), "is not an image"),
    "scan.tiff": (lambda: pictures.card("TIFF"), "is not an image"),
    "sound.webp": (lambda: b"RIFF" + bytes(4) + b"WAVE" + bytes(200), "is not an image"),
    "zeros.jpg": (lambda: bytes(5000), "is not an image"),
    "is-png.jpg": (lambda: pictures.card("PNG"), "is a PNG file"),
    "is-jpeg.png": (pictures.jpeg, "is a JPEG file; its name must end in .jpg or .jpeg"),
    "is-webp.jpg": (lambda: pictures.card("WEBP"), "is a WEBP file"),
    "photo.jpg.exe": (pictures.jpeg, "is a JPEG file; its name must end"),
    "no-ending": (pictures.jpeg, "is a JPEG file; its name must end"),
    "moving.webp": (lambda: pictures.animated("WEBP"), "has 3 frames; a photo has exactly 1"),
    "moving.png": (lambda: pictures.animated("PNG"), "has 3 frames; a photo has exactly 1"),
    "only-start.jpg": (lambda: b"\xff\xd8\xff\xe0" + bytes(200), "header cannot be read"),
    "only-start.png": (lambda: b"\x89PNG\r\n\x1a\n" + bytes(200), "header cannot be read"),
    "only-start.webp": (lambda: b"RIFF\0\0\0\0WEBPVP8 " + bytes(200), "header cannot be read"),
    "cut.png": (lambda: pictures.card("PNG")[:20] + bytes(50), "cannot"),
    "wide.png": (lambda: pictures.png_header(12_001, 10), "is 12001 x 10 pixels; at most 12000"),
    "tall.png": (lambda: pictures.png_header(10, 12_001), "at most 12000 on a side"),
    "large.png": (
        lambda: pictures.png_header(8_001, 8_000),
        "has 64,008,000 pixels; at most 64,000,000",
    ),
    "bomb.png": (lambda: pictures.png_header(11_000, 11_000), "has 121,000,000 pixels"),
    "huge-bomb.png": (lambda: pictures.png_header(60_000, 60_000), "at most 64,000,000"),
    "endless.png": (lambda: pictures.png_header(2**31 - 1, 2**31 - 1), "photo 'endless.png'"),
    "flat.png": (lambda: pictures.png_header(0, 10), "photo 'flat.png'"),
    "scans.jpg": (lambda: pictures.many_scans_jpeg(MOST_SCANS + 1), "more than 100 scans"),
    "2000-scans.jpg": (lambda: pictures.many_scans_jpeg(2000), "more than 100 scans"),
}


@pytest.mark.parametrize("name", GOOD)
def test_good_photo_is_read(name: str) -> None:
    header = read_header(upload(name, GOOD[name]()))
    assert header.name == name
    assert header.size_bytes == len(GOOD[name]())
    assert header.width > 0 and header.height > 0
    assert header.media_type in ("image/jpeg", "image/png", "image/webp")


@pytest.mark.parametrize("name", BAD)
def test_hostile_file_is_refused_with_a_sentence(name: str) -> None:
    make, sentence = BAD[name]
    data = make()
    with pytest.raises(PhotoError) as refused:
        read_header(upload(name, data))
    assert sentence in str(refused.value)
    assert str(refused.value).startswith(f"photo '{name}'")


@pytest.mark.parametrize("name", ["plain.jpg", "plain.png", "hundred.jpg"])
def test_upload_on_disk_is_read_the_same(name: str) -> None:
    file = upload_from_disk(name, GOOD[name]())
    assert read_header(file) == read_header(upload(name, GOOD[name]()))


def test_scans_of_an_upload_on_disk_are_counted() -> None:
    with pytest.raises(PhotoError, match="more than 100 scans"):
        read_header(upload_from_disk("scans.jpg", pictures.many_scans_jpeg(101)))


class _Huge(io.BytesIO):
    """A file that claims a size; reading it would be the mistake."""

    name, size = "x.jpg", 60 * 1024 * 1024

    def read(self, *_: object) -> bytes:
        raise AssertionError("a file that is too large must not be read")


def test_60_mb_is_refused_before_it_is_read() -> None:
    with pytest.raises(PhotoError) as refused:
        read_header(_Huge())
    assert str(refused.value) == "photo 'x.jpg' is 60 MB; at most 25 MB"


def test_25_mb_exactly_is_taken(settings) -> None:
    data = pictures.jpeg()
    full = data + bytes(settings.LARGEST_PHOTO_BYTES - len(data))
    assert read_header(upload("full.jpg", full)).size_bytes == 25 * 1024 * 1024
    with pytest.raises(PhotoError, match="at most 25 MB"):
        read_header(upload("full.jpg", full + b"\0"))


def test_trailing_data_does_not_count_as_scans() -> None:
    motion = pictures.jpeg() + b"\xff\xda" * 500
    assert read_header(upload("motion.jpg", motion)).width == 1200


def test_header_check_leaves_the_file_at_its_start() -> None:
    file = upload("a.jpg", pictures.jpeg())
    read_header(file)
    assert file.read(2) == b"\xff\xd8"


def test_nothing_is_decoded(monkeypatch) -> None:
    def load(self: Image.Image) -> None:
        raise AssertionError("headers only")

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", load)
    for name in ("plain.jpg", "plain.png", "plain.webp"):
        read_header(upload(name, GOOD[name]()))


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("../../etc/passwd.jpg", "passwd.jpg"),
        ("C:\\photos\\van.jpg", "van.jpg"),
        ("a\nb\x00\u202ec.jpg", "abc.jpg"),
        ("x" * 400 + ".jpg", "x" * (LONGEST_NAME - 4) + ".jpg"),
        ("", "without a name"),
        (None, "without a name"),
    ],
)
def test_names_are_shown_without_paths_and_tricks(given: str | None, shown: str) -> None:
    assert shown_name(given) == shown


def _kilobytes(name: str) -> int:
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(f"{name}:"))


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/clear_refs").exists(), reason="counts pages as Linux does")
def test_every_hostile_file_costs_the_web_process_little_memory() -> None:
    """Headers only: no file of the whole set makes the process that takes it in grow by 48 MB."""
    files = {name: make() for name, make in GOOD.items()}
    files |= {name: make() for name, (make, _) in BAD.items()}
    assert len(files) >= 50
    Path("/proc/self/clear_refs").write_text("5")  # the peak counts from here
    before = _kilobytes("VmRSS")
    for name, data in files.items():
        with suppress(PhotoError):
            read_header(upload(name, data))
    assert _kilobytes("VmHWM") - before < 48 * 1024
