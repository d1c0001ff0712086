"""The form that takes a maker's PDF. The file is looked at from outside and never opened here."""

import re
from typing import Any

from django import forms

from catalog.fields import TextField
from inspections.manuals.models import Manual

LARGEST_BYTES = 20 * 1024 * 1024
SMALLEST_BYTES = 64
TAIL = 2048
# Said in plain bytes by the trailer of every PDF that is locked.
_LOCKED = re.compile(rb"/Encrypt[\s/<\[0-9]")


class PdfField(forms.FileField):
    """One PDF: its size, its first and last bytes, and no lock."""

    widget = forms.FileInput(attrs={"accept": "application/pdf"})

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("help_text", f"PDF, at most {LARGEST_BYTES // 1024**2} MB, not locked.")
        super().__init__(**kwargs)

    def clean(self, data: Any, initial: Any = None) -> Any:
        file = super().clean(data, initial)
        if fault := _fault(file):
            raise forms.ValidationError(f"File {fault}")
        file.seek(0)
        return file


def _fault(file: Any) -> str:
    size = file.size
    if size > LARGEST_BYTES:
        most = LARGEST_BYTES // 1024**2
        return f"has {size / 1024**2:.1f} MB; at most {most} MB."
    if size < SMALLEST_BYTES:
        return f"has {size} bytes; no PDF is that short."
    file.seek(0)
    if file.read(5) != b"%PDF-":
        return "does not begin like a PDF; save it as PDF and choose that file."
    file.seek(max(0, size - TAIL))
    if b"%%EOF" not in file.read():
        return "has no end; it was cut off on the way. Choose it again."
    file.seek(0)
    if any(_LOCKED.search(chunk) for chunk in _overlapping(file)):
        return "is locked; save a copy without a password."
    return ""


def _overlapping(file: Any) -> Any:
    """The whole file in pieces, each with the end of the one before."""
    before = b""
    for chunk in file.chunks():
        yield before + chunk
        before = chunk[-16:]


class ManualForm(forms.ModelForm):
    file = PdfField(label="File")
    title = TextField(label="Title", most=120)

    class Meta:
        model = Manual
        fields = ("kind", "title")

    field_order = ("file", "kind", "title")
