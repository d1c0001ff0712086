"""Small drawn signs: protective devices and the marks of the checks."""

from jobs.build_sheet.pictures.parts import SupplyPart
from jobs.build_sheet.pictures.shapes import Box, Dot, Line, Shape, Text, shorten, wrap

DEVICE_WIDTH = 28
MARK_WIDTH = 122
# How a device's kind is said in a narrow column.
KINDS = {
    "fuse_blade": "fuse",
    "fuse_bolt": "bolt fuse",
    "breaker_auto": "breaker I",
    "breaker_modified": "breaker II",
    "breaker_manual": "breaker III",
    "electronic": "trip",
}
MARKS = {"pass": "Passes", "fail": "Fails", "warning": "Look at it", "undetermined": "Data missing"}


def device(kind: str, *, x: float, y: float) -> list[Shape]:
    """A device in a wire at height y, from x to x + DEVICE_WIDTH.

    A fuse is a box that the wire runs through, a breaker a bridge over two points, an electronic
    trip a box with a step.
    """
    end = x + DEVICE_WIDTH
    if kind.startswith("breaker"):
        bridge = ((x + 4, y - 4), (x + 9, y - 10), (x + 19, y - 10), (x + 24, y - 4))
        return [Dot(x=x + 3, y=y, radius=3), Dot(x=end - 3, y=y, radius=3), Line(points=bridge)]
    body = Box(x=x, y=y - 7, width=DEVICE_WIDTH, height=14, look="device")
    if kind == "electronic":
        step = ((x + 4, y + 3), (x + 12, y + 3), (x + 12, y - 3), (x + 24, y - 3))
        return [body, Line(points=step, look="thin")]
    if not kind:
        return [Box(x=x, y=y - 7, width=DEVICE_WIDTH, height=14, look="device unknown")]
    return [body, Line(points=((x, y), (end, y)))]


def mark(state: str, *, right: float, y: float) -> list[Shape]:
    """The word of a check's result with its sign, centred on y; a failure has the heavy frame."""
    x = right - MARK_WIDTH
    cx = x + 13
    signs: dict[str, list[Shape]] = {
        "pass": [
            Line(points=((cx - 5, y), (cx - 1, y + 4), (cx + 6, y - 5)), look="sign sign-pass")
        ],
        "fail": [
            Line(points=((cx - 5, y - 5), (cx + 5, y + 5)), look="sign sign-fail"),
            Line(points=((cx - 5, y + 5), (cx + 5, y - 5)), look="sign sign-fail"),
        ],
        "warning": [
            Dot(x=cx, y=y, radius=6, look="ring sign-warning"),
            Line(points=((cx, y - 3), (cx, y), (cx + 3, y + 2)), look="sign sign-warning"),
        ],
        "undetermined": [Dot(x=cx, y=y, radius=6, look="ring sign-undetermined")],
    }
    return [
        Box(x=x, y=y - 12, width=MARK_WIDTH, height=24, look=f"mark mark-{state}", radius=3),
        *signs[state],
        Text(x=x + 25, y=y + 5, words=MARKS[state], size=13, look=f"strong word-{state}"),
    ]


def supply_box(supply: SupplyPart, *, top: float, width: float, height: float) -> list[Shape]:
    room = width - 16
    lines = wrap(supply.name, room, size=13, most=2)
    shapes: list[Shape] = [
        Box(x=1, y=top, width=width - 1, height=height),
        Text(x=8, y=top + 18, words=shorten(supply.ref, room, size=14, mono=True), look="code"),
    ]
    for number, words in enumerate([*lines, shorten(supply.detail, room, size=13)]):
        look = "quiet" if number == len(lines) else "plain"
        shapes.append(Text(x=8, y=top + 34 + 16 * number, words=words, size=13, look=look))
    return shapes


def cell(x: float, y: float, words: str, room: float, *, quiet: bool = False) -> Text:
    look = "quiet" if quiet else "plain"
    return Text(x=x, y=y, words=shorten(words, room, size=13), size=13, look=look)


def strong(x: float, y: float, words: str, room: float) -> Text:
    return Text(x=x, y=y, words=shorten(words, room, size=14), look="strong")
