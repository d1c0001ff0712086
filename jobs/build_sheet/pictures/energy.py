"""Demand against supply, one bar a mode: what takes the current, and the line it may reach."""

from dataclasses import dataclass

from jobs.build_sheet.pictures.shapes import (
    Box,
    Line,
    Picture,
    Shape,
    Text,
    picture,
    shorten,
    text_width,
)
from jobs.build_sheet.pictures.symbols import mark
from jobs.findings import number

WIDTH, HEAD, ROW, BAR = 1180, 64, 62, 30
LEFT, RIGHT, FIGURES = 230, 850, 866
# Letter in the bar and word in the legend, in the order of the bar.
KINDS = ("chassis", "allowance", "circuits", "inverter")
LETTERS = "abcd"


@dataclass(frozen=True, kw_only=True, slots=True)
class ModeBar:
    """Amperes in the order of KINDS; `limit_a` is the hot output, None without an alternator."""

    name: str
    source: str
    amps: tuple[float, ...]
    limit_a: float | None
    wanted_a: float | None
    state: str

    @property
    def total_a(self) -> float:
        return sum(self.amps)


def energy(bars: list[ModeBar]) -> Picture | None:
    """One bar for each mode, in their order; None without modes."""
    if not bars:
        return None
    most = max(1.0, *(max(bar.total_a, bar.limit_a or 0.0) for bar in bars))
    scale = (RIGHT - LEFT) / most
    shapes = _legend()
    for place, bar in enumerate(bars):
        shapes += _bar(bar, top=HEAD + place * ROW, scale=scale)
    over = [bar.name for bar in bars if bar.limit_a is not None and bar.total_a > bar.limit_a]
    says = f"Over the hot output: {', '.join(over)}." if over else "None is over its hot output."
    return picture(
        key="energy",
        title="Demand against supply in each mode",
        words=(
            f"One bar a mode, {len(bars)} in all: chassis, allowance, circuits and inverter. "
            f"{says} The table has the same data."
        ),
        width=WIDTH,
        height=HEAD + len(bars) * ROW,
        shapes=shapes,
    )


def _legend() -> list[Shape]:
    shapes: list[Shape] = []
    x = float(LEFT)
    for letter, word in zip(LETTERS, KINDS, strict=True):
        shapes += [
            Box(x=x, y=6, width=22, height=20, look=f"part part-{letter}"),
            Text(x=x + 11, y=21, words=letter, size=13, look="strong", anchor="middle"),
            Text(x=x + 30, y=21, words=word, size=13),
        ]
        x += 50 + text_width(word, size=13)
    for look, words in (("gate", "alternator, hot"), ("wanted", "with its margin")):
        shapes += [
            Line(points=((x + 4, 4), (x + 4, 28)), look=look),
            Text(x=x + 14, y=21, words=words, size=13),
        ]
        x += 30 + text_width(words, size=13)
    return shapes


def _bar(bar: ModeBar, *, top: float, scale: float) -> list[Shape]:
    middle, room = top + BAR / 2, LEFT - 14
    shapes: list[Shape] = [
        Text(x=0, y=middle - 1, words=shorten(bar.name, room, size=14), look="strong"),
        Text(x=0, y=middle + 16, words=shorten(bar.source, room, size=13), size=13, look="quiet"),
        Line(points=((LEFT, top - 6), (LEFT, top + BAR + 6)), look="thin"),
    ]
    x = float(LEFT)
    for letter, amps in zip(LETTERS, bar.amps, strict=True):
        shapes += _part(letter, amps, x=x, top=top, width=amps * scale)
        x += amps * scale
    for look, value in (("gate", bar.limit_a), ("wanted", bar.wanted_a)):
        if value is not None:
            at = LEFT + value * scale
            # Over and under the bar only, so that no figure is struck through.
            for y in (top - 10, top + BAR):
                shapes.append(Line(points=((at, y), (at, y + 10)), look=look))
    figures = f"{bar.total_a:.1f} A"
    of = f"of {number(bar.limit_a)} A" if bar.limit_a is not None else ""
    return [
        *shapes,
        Text(x=FIGURES, y=middle - 1, words=figures, look="strong"),
        Text(x=FIGURES, y=middle + 16, words=of, size=13, look="quiet"),
        *mark(bar.state, right=WIDTH - 2, y=middle),
    ]


def _part(letter: str, amps: float, *, x: float, top: float, width: float) -> list[Shape]:
    """One part of a bar; letter and amperes stand in it where they fit."""
    if amps <= 0:
        return []
    fitting = [
        words
        for words in (f"{letter} {amps:.0f}", letter)
        if text_width(words, size=13) <= width - 6
    ]
    return [
        Box(x=x, y=top, width=width, height=BAR, look=f"part part-{letter}"),
        *(
            Text(x=x + width / 2, y=top + 20, words=words, size=13, look="strong", anchor="middle")
            for words in fitting[:1]
        ),
    ]
