"""Running words, sheet numbers and the draft mark, put on after the sections are joined.

They are artifacts: seen on paper, skipped by a screen reader. Because no section holds them, a new
revision, a release or one more page elsewhere does not make any section be rendered again.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

import pikepdf
from pikepdf import Dictionary, Name, Pdf

from jobs.documents.merge import Part
from jobs.documents.models import Document
from jobs.documents.sections import Section, section_of

POINTS = 72 / 25.4  # a millimetre
SIDE = 16 * POINTS
SIZE = 7.5
NARROWEST = 130 * POINTS  # narrower pages are labels; they carry nothing but themselves
INK, GREY = "0.28 0.3 0.34 rg 0.28 0.3 0.34 RG", "0.93 g"
_RANGE = re.compile(rb"beginbfchar\s*(.*?)endbfchar", re.S)
_PAIR = re.compile(rb"<([0-9a-fA-F]+)>\s*<([0-9a-fA-F]+)>")


@dataclass(frozen=True, slots=True)
class _Glyph:
    font: str
    code: int
    width: float  # thousandths of the size


class Alphabet:
    """Letters of a rendered one-line sheet, ready to be written onto other pages."""

    def __init__(self, pdf: bytes) -> None:
        self.pdf = pikepdf.open(BytesIO(pdf))
        self.fonts: dict[str, Any] = {}
        self.glyphs: dict[str, _Glyph] = {}
        for number, font in enumerate(self.pdf.pages[0].obj.Resources.Font.values()):
            name = f"/Stamp{number}"
            self.fonts[name] = font
            self._read(name, font)

    def _read(self, name: str, font: Any) -> None:
        widths = _widths(font.DescendantFonts[0])
        for block in _RANGE.findall(font.ToUnicode.read_bytes()):
            for code, text in _PAIR.findall(block):
                char = bytes.fromhex(text.decode()).decode("utf-16-be")
                glyph = _Glyph(name, int(code, 16), widths.get(int(code, 16), 1000))
                self.glyphs.setdefault(char, glyph)

    def width(self, text: str, size: float) -> float:
        return sum(self._glyph(char).width for char in text) * size / 1000

    def _glyph(self, char: str) -> _Glyph:
        return self.glyphs.get(char) or self.glyphs["?"]

    def show(self, text: str, size: float) -> str:
        """Text-showing operators; a new font is selected wherever the letter needs one."""
        out, font = [], ""
        for glyph in map(self._glyph, text):
            if glyph.font != font:
                font = glyph.font
                out.append(f"{font} {size} Tf")
            out.append(f"<{glyph.code:04x}> Tj")
        return " ".join(out)

    def fit(self, text: str, size: float, room: float) -> str:
        """The text, cut with an ellipsis where the room ends."""
        while len(text) > 1 and self.width(text, size) > room:
            text = text[:-2].rstrip() + "…"
        return text


def alphabet_section(document: Document) -> Section:
    """Every letter a stamp may need: plain text always, so that the alphabet is rarely new."""
    plain = "".join(map(chr, range(0x21, 0x7F))) + " ·–—…°µ×½"
    words = "".join(section["title"] for section in document.context)
    words += document.frame.get("mark", "") + document.frame.get("state", "")
    letters = plain + "".join(sorted(set(words) - set(plain)))
    return section_of(
        words="Running words",
        template="print/alphabet.html",
        context={"letters": letters},
        page_size="letter",
    )


def stamp(whole: Pdf, parts: Sequence[Part], frame: dict[str, Any], alphabet: Alphabet) -> None:
    """Write header, footer and, on drafts, the grey word behind the content of every page."""
    fonts = {name: whole.copy_foreign(font) for name, font in alphabet.fonts.items()}
    count, done = len(whole.pages), set()
    begin = whole.make_stream(b"q\n")
    for part in parts:
        for number in range(part.first_page, part.first_page + part.page_count):
            page = whole.pages[number]
            resources = page.obj.Resources
            if resources.objgen not in done:
                done.add(resources.objgen)
                _add_fonts(resources, fonts)
            left, bottom, right, top = (float(edge) for edge in page.mediabox)
            behind, over = _words(
                alphabet, frame, part.title, number, count, right - left, top - bottom
            )
            page.contents_add(
                whole.make_stream(behind.encode() + b"q\n") if behind else begin, prepend=True
            )
            page.contents_add(b"\nQ\n" + over.encode())


def _add_fonts(resources: Any, fonts: dict[str, Any]) -> None:
    if Name.Font not in resources:
        resources.Font = Dictionary()
    for name, font in fonts.items():
        resources.Font[name] = font


def _words(
    alphabet: Alphabet,
    frame: dict[str, Any],
    title: str,
    number: int,
    count: int,
    width: float,
    height: float,
) -> tuple[str, str]:
    """The operators behind and over one page's content."""
    if width < NARROWEST:
        return "", ""
    behind = _draft_mark(alphabet, width, height) if frame.get("draft") else ""
    lines = [_rule(14 * POINTS, width)]
    lines += _row(alphabet, frame.get("state", ""), f"Sheet {number + 1} of {count}", 9.5, width)
    if number:
        top = height / POINTS
        lines.append(_rule(height - 16.5 * POINTS, width))
        lines += _row(alphabet, title, frame.get("mark", ""), top - 14.5, width)
    return behind, _artifact(" ".join([INK, ".4 w", *lines]))


def _artifact(operators: str) -> str:
    return f"/Artifact <</Type /Pagination>> BDC q {operators} Q EMC\n"


def _rule(y: float, width: float) -> str:
    return f"{SIDE:.2f} {y:.2f} m {width - SIDE:.2f} {y:.2f} l S"


def _row(alphabet: Alphabet, left: str, right: str, mm: float, width: float) -> list[str]:
    """Words at the left and right margin, `mm` above the foot of the page."""
    y, space = mm * POINTS, width - 2 * SIDE
    right_width = alphabet.width(right, SIZE)
    left = alphabet.fit(left, SIZE, space - right_width - 5 * POINTS)
    return [
        _text(alphabet, left, SIDE, y) if left else "",
        _text(alphabet, right, width - SIDE - right_width, y) if right else "",
    ]


def _text(alphabet: Alphabet, text: str, x: float, y: float) -> str:
    return f"BT 1 0 0 1 {x:.2f} {y:.2f} Tm {alphabet.show(text, SIZE)} ET"


def _draft_mark(alphabet: Alphabet, width: float, height: float) -> str:
    """The word DRAFT from corner to corner, pale enough to read what is printed over it."""
    diagonal = (width**2 + height**2) ** 0.5
    cosine, sine = width / diagonal, height / diagonal
    size = 0.62 * diagonal / (alphabet.width("DRAFT", 1000) / 1000)
    along, across = 0.19 * diagonal, -0.35 * size
    x, y = along * cosine - across * sine, along * sine + across * cosine
    matrix = f"{cosine:.4f} {sine:.4f} {-sine:.4f} {cosine:.4f} {x:.2f} {y:.2f} Tm"
    return _artifact(f"{GREY} BT {matrix} {alphabet.show('DRAFT', round(size, 2))} ET")


def _widths(font: Any) -> dict[int, float]:
    """Widths of a composite font's glyphs: runs of [first [w w w]] or [first last w]."""
    found: dict[int, float] = {}
    table = list(font.get(Name.W, ()))
    while table:
        first = int(table.pop(0))
        item = table.pop(0)
        if isinstance(item, pikepdf.Array):
            found.update({first + place: float(width) for place, width in enumerate(item)})
        else:
            width = float(table.pop(0))
            found.update(dict.fromkeys(range(first, int(item) + 1), width))
    return found
