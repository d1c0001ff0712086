"""The vehicle from above with every lamp head and output at its place: what is lit, what is on.

Labels stand where they stand whatever is on, so that the eye finds what changed. A state is a word
and a frame; the colour of a lamp is a word beside its swatch.
"""

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
from jobs.build_sheet.pictures.zones import (
    GAP,
    HALF_WIDTH_MM,
    HEIGHT,
    LEFT,
    OVERHANG_MM,
    RIGHT,
    WHEELBASE_MM,
    WIDTH,
    Scale,
    outline,
    tries,
    words_room,
)

HEAD_WIDTH, HEAD_HEIGHT, SWATCH = 180, 42, 12
OUTPUT_HEIGHT, OUTPUT_ROOM = 22, 140
LAMPS = ("red", "amber", "white", "blue", "green")


@dataclass(frozen=True, kw_only=True, slots=True)
class Lamp:
    """A head: `shows` says it in words, `colours` are those lit now. No place means its zone."""

    label: str
    zone: str
    shows: str
    colours: tuple[str, ...]
    has_changed: bool
    x_mm: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Driven:
    """An output with its place; x aft of the front axle, y right of the centre line [mm]."""

    label: str
    is_on: bool
    has_changed: bool
    is_alarm: bool
    x_mm: float
    y_mm: float


def lit_plan(
    lamps: list[Lamp], driven: list[Driven], *, wheelbase_mm: float | None, words: str
) -> Picture:
    base = wheelbase_mm or WHEELBASE_MM
    scale = Scale(front_mm=-OVERHANG_MM, rear_mm=base + OVERHANG_MM)
    shapes = outline(scale, wheelbase_mm)
    taken = words_room()
    for lamp in lamps:
        shapes += _lamp(lamp, scale, base, taken)
    for each in driven:
        shapes += _output(each, scale, taken)
    return picture(
        key="lit",
        title="The vehicle from above, front on the left",
        words=words,
        width=WIDTH,
        height=max(HEIGHT, *(box.bottom for box in taken)),
        shapes=[*shapes, *_legend()],
    )


def _at(lamp: Lamp, base: float) -> tuple[float, float]:
    """A head lies where its zone is; along the side it lies where its build line is."""
    middle = base / 2 if lamp.x_mm is None else lamp.x_mm
    places = {
        "front": (-OVERHANG_MM + 250, 0),
        "rear": (base + OVERHANG_MM - 250, 0),
        "left": (middle, -HALF_WIDTH_MM + 120),
        "right": (middle, HALF_WIDTH_MM - 120),
    }
    return places.get(lamp.zone, (middle, 0))


def _lamp(lamp: Lamp, scale: Scale, base: float, taken: list[Box]) -> list[Shape]:
    name = shorten(lamp.label, HEAD_WIDTH - 14, size=13)
    swatches = len(lamp.colours) * (SWATCH + 3)
    shows = shorten(lamp.shows, HEAD_WIDTH - 14 - swatches, size=13)
    x_mm, y_mm = _at(lamp, base)
    box = _place(scale.x(x_mm), scale.y(y_mm), HEAD_WIDTH, HEAD_HEIGHT, taken)
    look = "lit" if lamp.colours else "dark"
    shapes: list[Shape] = [_frame(box, look, changed=lamp.has_changed)]
    left = box.x + 7
    for colour in lamp.colours:
        kind = colour if colour in LAMPS else "other"
        shapes.append(
            Box(x=left, y=box.y + 24, width=SWATCH, height=SWATCH, look=f"lamp lamp-{kind}")
        )
        left += SWATCH + 3
    return [
        *shapes,
        Text(x=box.x + 7, y=box.y + 17, words=name, size=13, look="strong"),
        Text(x=left, y=box.y + 35, words=shows, size=13, look="plain" if lamp.colours else "quiet"),
    ]


def _output(each: Driven, scale: Scale, taken: list[Box]) -> list[Shape]:
    name = shorten(each.label, OUTPUT_ROOM, size=13)
    words = f"{name}: {'on' if each.is_on else 'off'}"
    width = text_width(f"{name}: off", size=13) + 12
    x = min(max(scale.x(each.x_mm), LEFT), RIGHT)
    y = scale.y(max(min(each.y_mm, HALF_WIDTH_MM), -HALF_WIDTH_MM))
    box = _place(x, y, width, OUTPUT_HEIGHT, taken)
    centre = (box.x + box.width / 2, box.y + box.height / 2)
    lead: list[Shape] = []
    if centre != (x, y):
        lead = [Line(points=((x, y), centre), look="lead faint", under=True)]
    look = ("alarm" if each.is_alarm else "lit") if each.is_on else "dark"
    return [
        *lead,
        _frame(box, look, changed=each.has_changed),
        Text(x=box.x + 6, y=box.y + 16, words=words, size=13,
             look="strong" if each.is_on else "quiet"),
    ]  # fmt: skip


def _place(x: float, y: float, width: float, height: float, taken: list[Box]) -> Box:
    box = next(box for box in tries(x, y, width, height) if not any(map(box.overlaps, taken)))
    taken.append(Box(x=box.x - GAP, y=box.y - GAP, width=width + 2 * GAP, height=height + 2 * GAP))
    return box


def _frame(box: Box, look: str, *, changed: bool) -> Box:
    return Box(
        x=box.x, y=box.y, width=box.width, height=box.height,
        look=f"shown shown-{look}{' shown-changed' if changed else ''}",
    )  # fmt: skip


def _legend() -> list[Shape]:
    shapes: list[Shape] = []
    x = 70.0
    for look, words in (
        ("lit", "lit or on"), ("alarm", "alarm that is on"), ("dark", "dark or off"),
        ("dark shown-changed", "changed last"),
    ):  # fmt: skip
        shapes += [
            Box(x=x, y=4, width=36, height=22, look=f"shown shown-{look}"),
            Text(x=x + 46, y=20, words=words),
        ]
        x += 80 + text_width(words, size=14)
    return shapes
