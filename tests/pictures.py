"""Photos for tests, drawn in code: good ones, and the hostile ones people warn about."""

import io
import random
import struct
import zlib
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile, TemporaryUploadedFile
from PIL import Image, ImageDraw, ImageFont


def upload(name: str, data: bytes) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data)


def upload_from_disk(name: str, data: bytes) -> TemporaryUploadedFile:
    """Larger uploads arrive as files; the server has them in its upload folder."""
    file = TemporaryUploadedFile(name, "image/jpeg", len(data), None)
    file.write(data)
    file.seek(0)
    return file


def test_card(text: str = "TEST CARD", size: tuple[int, int] = (1200, 900)) -> Image.Image:
    """A picture nobody takes for a vehicle: grey bars, a frame and its own name."""
    image = Image.new("RGB", size, "#e8e5dc")
    draw = ImageDraw.Draw(image)
    for bar in range(8):
        left = size[0] * bar // 8
        draw.rectangle((left, 0, left + size[0] // 8, size[1] // 3), fill=(30 * bar,) * 3)
    draw.rectangle((0, 0, size[0] - 1, size[1] - 1), outline="#151a20", width=6)
    draw.text((40, size[1] // 2), text, fill="#151a20", font=ImageFont.load_default(64))
    return image


test_card.__test__ = False  # type: ignore[attr-defined]  # the name is the trade's, not pytest's


def saved(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    target = io.BytesIO()
    image.save(target, kind, **options)
    return target.getvalue()


def card(kind: str, **options: Any) -> bytes:
    return saved(test_card(), kind, **options)


def jpeg(text: str = "TEST CARD", size: tuple[int, int] = (1200, 900), **options: Any) -> bytes:
    return saved(test_card(text, size), "JPEG", **options)


def turned_jpeg(orientation: int) -> bytes:
    """A landscape photo whose camera was held upright, with a place in its metadata."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "Camera of nobody"
    exif.get_ifd(0x8825)[1] = "N"
    exif.get_ifd(0x8825)[2] = (51.0, 46.0, 33.0)
    return jpeg("TURNED", (1200, 800), exif=exif)


def noisy_jpeg(size: tuple[int, int]) -> bytes:
    """Random pixels compress badly: a real-sized photo file."""
    noise = Image.frombytes("RGB", size, random.Random(1).randbytes(size[0] * size[1] * 3))
    return saved(noise, "JPEG", quality=80)


def many_scans_jpeg(scans: int) -> bytes:
    """A progressive photo whose last scan is repeated, as decoders must then do all the work."""
    data = saved(test_card(size=(64, 64)), "JPEG", progressive=True)
    start, end = data.rindex(b"\xff\xda"), data.rindex(b"\xff\xd9")
    present = data.count(b"\xff\xda")
    return data[:end] + data[start:end] * (scans - present) + data[end:]


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png_header(width: int, height: int, pixels: bytes = b"") -> bytes:
    """A PNG that promises a size; with no pixel data it is a promise only."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"".join(
        [
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", header),
            _chunk(b"IDAT", zlib.compress(pixels)),
            _chunk(b"IEND", b""),
        ]
    )


def png_bomb(side: int) -> bytes:
    """A few kilobytes that unpack to side x side pixels."""
    row = zlib.compress((b"\0" + bytes(side * 3)) * side, 9)
    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    chunks = [_chunk(b"IHDR", header), _chunk(b"IDAT", row), _chunk(b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def animated(kind: str) -> bytes:
    frames = [test_card(str(number), (80, 60)) for number in range(3)]
    return saved(frames[0], kind, save_all=True, append_images=frames[1:], duration=100)


def phone_jpeg() -> bytes:
    """Phones write a second small picture into the same file (the MPO format)."""
    return saved(
        test_card("PHONE", (800, 600)),
        "MPO",
        save_all=True,
        append_images=[test_card("small", (80, 60))],
    )


def polyglot_jpeg() -> bytes:
    """A real photo that is also a web page with a script and ends like an archive."""
    page = b"<html><script>document.title='ran'</script></html>"
    return jpeg() + page + b"PK\x05\x06" + bytes(18)


def half_jpeg() -> bytes:
    data = noisy_jpeg((600, 400))
    return data[: len(data) // 2]
