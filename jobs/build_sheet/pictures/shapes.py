"""What drawings are made of: frozen shapes in drawing units, and the room that text takes.

A drawing unit is one CSS pixel on a wide screen; on a landscape sheet 1180 of them span the text
width, so that size 14 prints at 8.5 points. `look` is a CSS class; colours come from the page.
"""

from dataclasses import dataclass
from unicodedata import east_asian_width

# Em widths of the bold text face, rounded up; the regular weight is narrower.
_WIDTHS = {
    0.42: " '|,.:;j!`li[]()f{}r-t·",
    0.53: '"_*/\\1I',
    0.62: "zycvxsL7Fa~Jekuhn<>oE2^bdpg9×",
    0.72: "q35?T+=$SZ84P6B0RVKCDYAHUXN",
    0.82: "&GwO@Q#…",
    1.0: "MWm%",
}
_WIDTH = {letter: width for width, letters in _WIDTHS.items() for letter in letters}
MONO_WIDTH = 0.61
# Height of a line over its baseline and under it, in em.
ASCENT, DESCENT = 0.78, 0.24


def text_width(words: str, *, size: float, mono: bool = False) -> float:
    """Room that words take, never too little for the faces we print and show."""
    if mono:
        ems = sum(max(_em(letter), MONO_WIDTH) for letter in words if not letter.isascii())
        return size * (ems + MONO_WIDTH * sum(letter.isascii() for letter in words))
    return size * sum(map(_em, words))


def _em(letter: str) -> float:
    wide = 1.05 if east_asian_width(letter) in "WF" else 0.85
    return _WIDTH.get(letter, wide)


def shorten(words: str, room: float, *, size: float, mono: bool = False) -> str:
    """The words if they fit, else their beginning and three dots."""
    if text_width(words, size=size, mono=mono) <= room:
        return words
    kept = words
    while kept and text_width(f"{kept}…", size=size, mono=mono) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def wrap(words: str, room: float, *, size: float, most: int = 2) -> list[str]:
    """At most so many lines, broken between words; the last one is shortened."""
    lines: list[str] = []
    left = words.split()
    while left and len(lines) < most - 1:
        taken = 1
        while taken < len(left) and text_width(" ".join(left[: taken + 1]), size=size) <= room:
            taken += 1
        lines.append(shorten(" ".join(left[:taken]), room, size=size))
        left = left[taken:]
    if left:
        lines.append(shorten(" ".join(left), room, size=size))
    return lines


@dataclass(frozen=True, kw_only=True, slots=True)
class Box:
    """A rectangle: drawn, or the room that something takes."""

    x: float
    y: float
    width: float
    height: float
    look: str = "box"
    radius: float = 0.0

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def overlaps(self, other: "Box") -> bool:
        across = self.x < other.right and other.x < self.right
        return across and self.y < other.bottom and other.y < self.bottom

    def holds(self, other: "Box") -> bool:
        across = self.x <= other.x and other.right <= self.right
        return across and self.y <= other.y and other.bottom <= self.bottom


@dataclass(frozen=True, kw_only=True, slots=True)
class Text:
    """Words on a baseline. `anchor` says which point of them is at x."""

    x: float
    y: float
    words: str
    look: str = "plain"
    size: float = 14
    anchor: str = "start"

    @property
    def box(self) -> Box:
        width = text_width(self.words, size=self.size, mono=self.look == "code")
        left = {"start": self.x, "middle": self.x - width / 2, "end": self.x - width}[self.anchor]
        top = self.y - ASCENT * self.size
        return Box(x=left, y=top, width=width, height=(ASCENT + DESCENT) * self.size)


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """A line through points; one that is `under` runs beneath the boxes."""

    points: tuple[tuple[float, float], ...]
    look: str = "wire"
    under: bool = False

    @property
    def path(self) -> str:
        return " ".join(f"{x:g},{y:g}" for x, y in self.points)


@dataclass(frozen=True, kw_only=True, slots=True)
class Dot:
    x: float
    y: float
    radius: float
    look: str = "dot"


Shape = Box | Text | Line | Dot


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """A whole drawing. `key` is unique on its page; `words` say what a person would see."""

    key: str
    title: str
    words: str
    width: float
    height: float
    under: tuple[Line, ...] = ()
    boxes: tuple[Box, ...] = ()
    lines: tuple[Line, ...] = ()
    dots: tuple[Dot, ...] = ()
    texts: tuple[Text, ...] = ()


def picture(
    *, key: str, title: str, words: str, width: float, height: float, shapes: list[Shape]
) -> Picture:
    """Shapes sorted into layers: boxes under lines, dots over them, text on top."""
    lines = [shape for shape in shapes if isinstance(shape, Line)]
    return Picture(
        key=key,
        title=title,
        words=words,
        width=width,
        height=height,
        boxes=tuple(shape for shape in shapes if isinstance(shape, Box)),
        under=tuple(line for line in lines if line.under),
        lines=tuple(line for line in lines if not line.under),
        dots=tuple(shape for shape in shapes if isinstance(shape, Dot)),
        texts=tuple(shape for shape in shapes if isinstance(shape, Text) and shape.words),
    )
