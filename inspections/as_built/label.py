"""The code on a vehicle's label, as people type it and as a camera reads it."""

import segno
from django.conf import settings
from django.urls import reverse

from inspections.as_built.models import CODE_LENGTH, CODE_LETTERS, Label
from jobs.models import Unit

# What people write instead of the digits that the letters were left out for.
LOOKS_LIKE = str.maketrans("OIL", "011")


def label_of(unit: Unit) -> Label:
    """The unit's label; made the first time it is printed."""
    return Label.objects.get_or_create(unit=unit)[0]


def tidy(typed: str) -> str:
    """A code as it is stored, from however it was typed: 'o3k7-ab..' is '03K7AB..'."""
    return "".join(c for c in typed.upper().translate(LOOKS_LIKE) if c in CODE_LETTERS)


def find_unit(typed: str) -> Unit | None:
    code = tidy(typed)
    if len(code) != CODE_LENGTH:
        return None
    found = Label.objects.filter(code=code).select_related("unit__job__agency").first()
    return found.unit if found else None


def grouped(code: str) -> str:
    """In groups of four, so that people can read it out."""
    return " ".join(code[start : start + 4] for start in range(0, CODE_LENGTH, 4))


def address(code: str) -> str:
    return f"{settings.PUBLIC_URL}{reverse('inspections:as_built_scan', args=[code])}"


def qr_svg(code: str) -> str:
    """Level Q with the whole quiet zone: a lost patch or a scratch does not stop a camera."""
    return str(segno.make(address(code), error="q").svg_inline(scale=4, border=4))
