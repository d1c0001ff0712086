"""What a photo must be before anything decodes it. Only headers are read here."""

import mmap
import os
import re
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePath
from typing import Any

from django.conf import settings
from PIL import Image

SMALLEST_BYTES = 64
MOST_PIXELS = 64_000_000
LONGEST_SIDE = 12_000
MOST_SCANS = 100
LONGEST_NAME = 255
FORMATS = {
    "JPEG": ("image/jpeg", (".jpg", ".jpeg", ".jpe")),
    "PNG": ("image/png", (".png",)),
    "WEBP": ("image/webp", (".webp",)),
}
# In the bytes of a JPEG, a marker is FF followed by anything but 00 (stuffing), FF (fill) and
# D0..D7 (restart marks, part of the scan).
_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9


class PhotoError(ValueError):
    """A photo that cannot be taken in. The message is the sentence for the person."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Header:
    name: str
    size_bytes: int
    media_type: str
    width: int
    height: int


def read_header(file: Any) -> Header:
    """Check an uploaded file's size, name, format, dimensions and scans; raise PhotoError."""
    name = shown_name(file.name)
    _check_size(name, file.size)
    file.seek(0)
    kind = _magic(file.read(16))
    _check_kind(name, kind)
    image_format, width, height = _open(name, file)
    if image_format != kind:
        raise PhotoError(f"photo '{name}' starts like {kind} but reads as {image_format}")
    _check_dimensions(name, width, height)
    if kind == "JPEG":
        _check_scans(name, file)
    file.seek(0)
    return Header(
        name=name, size_bytes=file.size, media_type=FORMATS[kind][0], width=width, height=height
    )


def shown_name(name: str | None) -> str:
    """The last part of a name without control characters, cut from the front to fit its column."""
    last = PurePath((name or "").replace("\\", "/")).name
    clean = "".join(char for char in last if char.isprintable())
    return clean[-LONGEST_NAME:] or "without a name"


def megabytes(size: int) -> str:
    return f"{size / 1024 / 1024:.1f}".removesuffix(".0") + " MB"


def _check_size(name: str, size: int) -> None:
    limit = settings.LARGEST_PHOTO_BYTES
    if size > limit:
        raise PhotoError(f"photo '{name}' is {megabytes(size)}; at most {megabytes(limit)}")
    if size < SMALLEST_BYTES:
        raise PhotoError(f"photo '{name}' is {size} bytes; at least {SMALLEST_BYTES}")


def _magic(head: bytes) -> str:
    if head.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "WEBP"
    return ""


def _check_kind(name: str, kind: str) -> None:
    if not kind:
        raise PhotoError(f"photo '{name}' is not an image; it must be a JPEG, PNG or WebP file")
    endings = FORMATS[kind][1]
    if PurePath(name).suffix.lower() not in endings:
        raise PhotoError(
            f"photo '{name}' is a {kind} file; its name must end in {' or '.join(endings)}"
        )


def _open(name: str, file: Any) -> tuple[str, int, int]:
    """Format and size as Pillow reads them from the header; nothing is decoded."""
    file.seek(0)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(file, formats=tuple(FORMATS)) as image:
                if getattr(image, "n_frames", 1) > 1 and image.format != "MPO":
                    raise PhotoError(
                        f"photo '{name}' has {image.n_frames} frames; a photo has exactly 1"
                    )
                kind = "JPEG" if image.format == "MPO" else str(image.format)
                return kind, image.width, image.height
    except PhotoError:
        raise
    except Image.DecompressionBombError:
        raise PhotoError(f"photo '{name}' has too many pixels; at most {MOST_PIXELS:,}") from None
    except Exception:  # Pillow raises many kinds on damaged headers; all mean the same to people
        raise PhotoError(f"photo '{name}' is damaged: its header cannot be read") from None


def _check_dimensions(name: str, width: int, height: int) -> None:
    if not width or not height:
        raise PhotoError(f"photo '{name}' is {width} x {height} pixels; it must not be empty")
    if max(width, height) > LONGEST_SIDE:
        raise PhotoError(
            f"photo '{name}' is {width} x {height} pixels; at most {LONGEST_SIDE} on a side"
        )
    if width * height > MOST_PIXELS:
        raise PhotoError(f"photo '{name}' has {width * height:,} pixels; at most {MOST_PIXELS:,}")


def _check_scans(name: str, file: Any) -> None:
    """A small JPEG with thousands of scans takes minutes to decode; count them first."""
    scans = sum(1 for _ in _scans(file))
    if scans > MOST_SCANS:
        raise PhotoError(f"photo '{name}' has more than {MOST_SCANS} scans; at most {MOST_SCANS}")


def _scans(file: Any) -> Iterator[int]:
    """Positions of the scans of the first image, walked marker by marker."""
    data, at, found = _bytes_of(file), 2, 0
    while found <= MOST_SCANS and (match := _MARKER.search(data, at)):
        marker, at = data[match.start() + 1], match.end()
        if marker == _END_OF_IMAGE:
            return
        if marker == _START_OF_SCAN:
            found += 1
            yield match.start()
        at += int.from_bytes(data[at : at + 2], "big")


def _bytes_of(file: Any) -> Any:
    """The file as one buffer: mapped when it lies on disk, read when it is in memory."""
    try:
        number = file.fileno()
    except (AttributeError, OSError):
        file.seek(0)
        return file.read()
    if os.fstat(number).st_size == 0:
        return b""
    return mmap.mmap(number, 0, access=mmap.ACCESS_READ)
