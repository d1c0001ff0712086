"""Photos of the demo: labelled test cards drawn in code, never real pictures."""

import io

from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw, ImageFont

from jobs.models import Photo
from jobs.photos.actions import store_photo

SIZE = (1200, 900)
INK, PAPER, RULE = (21, 26, 32), (245, 243, 238), (10, 82, 96)


def draw_card(title: str, place: str, *, head: str = "TEST CARD, NOT A PHOTO") -> bytes:
    """A JPEG that says what a real photo would show."""
    image = Image.new("RGB", SIZE, PAPER)
    pen = ImageDraw.Draw(image)
    pen.rectangle((40, 40, SIZE[0] - 40, SIZE[1] - 40), outline=INK, width=6)
    pen.line((40, 200, SIZE[0] - 40, 200), fill=INK, width=6)
    pen.text((80, 90), head, fill=RULE, font=ImageFont.load_default(48))
    for row, line in enumerate(_wrapped(title, 30)):
        pen.text((80, 270 + 90 * row), line, fill=INK, font=ImageFont.load_default(72))
    pen.text((80, SIZE[1] - 140), place, fill=INK, font=ImageFont.load_default(44))
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=85)
    return buffer.getvalue()


def draw_paper(title: str, part: str) -> bytes:
    """A PDF of one sheet that stands for a maker's document."""
    card = draw_card(title, part, head="TEST CARD, NO REAL DOCUMENT")
    with Image.open(io.BytesIO(card)) as image:
        buffer = io.BytesIO()
        image.save(buffer, "PDF", title=title, resolution=120)
    return buffer.getvalue()


def _wrapped(text: str, width: int) -> list[str]:
    lines = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines[:5]


def card(title: str, place: str, by: User) -> Photo:
    file = SimpleUploadedFile("card.jpg", draw_card(title, place), content_type="image/jpeg")
    return store_photo(file=file, by=by)
