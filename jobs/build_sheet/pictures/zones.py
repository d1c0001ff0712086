"""The vehicle from above, front on the left, with every build line at its place.

Where lines lie on top of one another their labels move aside, and a thin line leads back to the
place. The frame of a label says in which zone it is, because the plan has no height.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

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

WIDTH, HEIGHT = 1180, 620
LEFT, RIGHT, MIDDLE, HALF = 70, 1110, 330, 190
LABEL_HEIGHT, GAP = 22, 3
# A plain van where the unit's own measures are missing.
OVERHANG_MM, HALF_WIDTH_MM, WHEELBASE_MM = 1100, 1000, 3500
LEVELS = (
    ("roof", "roof"), ("in", "cab and body"), ("out", "front, sides, rear"),
    ("under", "engine bay, underbody"),
)  # fmt: skip
LEVEL_OF = {"roof": "roof", "cab": "in", "body": "in", "engine": "under", "under": "under"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """A build line; x aft of the front axle, y right of the centre line [mm]."""

    ref: str
    zone: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Scale:
    """Millimetres on the vehicle to places in the drawing."""

    front_mm: float
    rear_mm: float

    def x(self, mm: float) -> float:
        return LEFT + (mm - self.front_mm) / (self.rear_mm - self.front_mm) * (RIGHT - LEFT)

    def y(self, mm: float) -> float:
        """Seen from above with the front on the left, the right side is on top."""
        return MIDDLE - mm / HALF_WIDTH_MM * HALF


def zone_plan(lines: list[Placed], *, wheelbase_mm: float | None) -> Picture:
    base = wheelbase_mm or WHEELBASE_MM
    spread = [place for line in lines for place in on_both_sides(line)]
    scale = Scale(
        front_mm=min([-OVERHANG_MM, *(place.x_mm - 150 for place in spread)]),
        rear_mm=max([base + OVERHANG_MM, *(place.x_mm + 150 for place in spread)]),
    )
    shapes = outline(scale, wheelbase_mm)
    taken: list[Box] = words_room()
    for place in spread:
        shapes += _label(place, scale, taken)
    return picture(
        key="zones",
        title="Zone plan from above, front on the left",
        words=f"{len(lines)} build lines at their places. The table lists them by zone.",
        width=WIDTH,
        height=max(HEIGHT, *(box.bottom for box in taken)),
        shapes=[*shapes, *_legend()],
    )


def on_both_sides(line: Placed) -> list[Placed]:
    """A line for both sides or all round, entered on the centre line, is drawn on each side."""
    side = HALF_WIDTH_MM
    if line.zone in ("sides", "around") and line.y_mm == 0:
        return [replace(line, y_mm=side), replace(line, y_mm=-side)]
    if line.zone in ("left", "right") and line.y_mm == 0:
        return [replace(line, y_mm=side if line.zone == "right" else -side)]
    return [line]


def outline(scale: Scale, wheelbase_mm: float | None) -> list[Shape]:
    nose, tail = scale.x(scale.front_mm) + 14, scale.x(scale.rear_mm) - 14
    top, bottom = MIDDLE - HALF, MIDDLE + HALF
    body = (
        (nose, top + 60), (nose + 30, top + 14), (nose + 90, top), (tail, top), (tail, bottom),
        (nose + 90, bottom), (nose + 30, bottom - 14), (nose, bottom - 60), (nose, top + 60),
    )  # fmt: skip
    screen = scale.x(450)
    shapes: list[Shape] = [
        Line(points=body, look="wire heavy", under=True),
        Line(
            points=((screen, top + 8), (screen - 26, MIDDLE), (screen, bottom - 8)),
            look="thin",
            under=True,
        ),
        Text(x=nose - 8, y=MIDDLE + 5, words="Front", look="strong", anchor="end"),
        Text(x=tail + 8, y=MIDDLE + 5, words="Rear", look="strong"),
        Text(x=WIDTH / 2, y=54, words="Right side", look="strong", anchor="middle"),
        Text(x=WIDTH / 2, y=HEIGHT - 10, words="Left side", look="strong", anchor="middle"),
    ]
    if wheelbase_mm:
        for x in (scale.x(0), scale.x(wheelbase_mm)):
            shapes += [
                Box(x=x - 32, y=y, width=64, height=20, look="wheel", radius=4)
                for y in (top - 26, bottom + 6)
            ]
    return shapes


def words_room() -> list[Box]:
    """Where the plan's own words stand; no label goes there."""
    return [
        Box(x=0, y=0, width=WIDTH, height=34),
        Box(x=WIDTH / 2 - 60, y=34, width=120, height=28),
        Box(x=WIDTH / 2 - 60, y=HEIGHT - 28, width=120, height=28),
        Box(x=0, y=MIDDLE - 14, width=LEFT + 14, height=28),
        Box(x=RIGHT - 14, y=MIDDLE - 14, width=LEFT + 14, height=28),
    ]


def _label(place: Placed, scale: Scale, taken: list[Box]) -> list[Shape]:
    words = shorten(place.ref, 90, size=13, mono=True)
    width = text_width(words, size=13, mono=True) + 10
    x, y = scale.x(place.x_mm), scale.y(max(min(place.y_mm, 1100), -1100))
    box = next(box for box in tries(x, y, width) if not any(map(box.overlaps, taken)))
    room = Box(x=box.x - GAP, y=box.y - GAP, width=width + 2 * GAP, height=LABEL_HEIGHT + 2 * GAP)
    taken.append(room)
    level = LEVEL_OF.get(place.zone, "out")
    centre = (box.x + width / 2, box.y + LABEL_HEIGHT / 2)
    lead: list[Shape] = []
    if centre != (x, y):
        lead = [Line(points=((x, y), centre), look="lead", under=True)]
    label = Box(
        x=box.x, y=box.y, width=width, height=LABEL_HEIGHT, look=f"label level-{level}",
        radius=11 if level == "out" else 0,
    )  # fmt: skip
    return [*lead, label, Text(x=centre[0], y=centre[1] + 5, words=words, size=13, look="code",
                               anchor="middle")]  # fmt: skip


def tries(x: float, y: float, width: float, height: float = LABEL_HEIGHT) -> Iterator[Box]:
    """Boxes around a point, nearest first; those that leave the sheet are left out."""
    step = height + 2 * GAP
    for ring in range(200):
        for down, right in sorted(
            {(d, r) for d in range(-ring, ring + 1) for r in range(-ring, ring + 1)
             if max(abs(d), abs(r)) == ring},
            key=lambda at: (abs(at[1]), abs(at[0]), at),
        ):  # fmt: skip
            left = x - width / 2 + right * (width + 2 * GAP)
            top = y - height / 2 + down * step
            if left >= 0 and left + width <= WIDTH and top >= 0:
                yield Box(x=left, y=top, width=width, height=height)


def _legend() -> list[Shape]:
    shapes: list[Shape] = []
    x, y = float(LEFT), 4
    for level, words in LEVELS:
        radius = 11 if level == "out" else 0
        shapes += [
            Box(
                x=x, y=y, width=36, height=LABEL_HEIGHT, look=f"label level-{level}", radius=radius
            ),
            Text(x=x + 46, y=y + 16, words=words),
        ]
        x += 80 + text_width(words, size=14)
    return shapes
