"""Voltage along one path: a falling line over the test points, with the least allowed voltage."""

from dataclasses import dataclass

from jobs.build_sheet.pictures.shapes import Dot, Line, Picture, Shape, Text, picture, wrap

WIDTH, HEIGHT = 900, 320
LEFT, RIGHT, TOP, BASE = 40, 860, 56, 236


@dataclass(frozen=True, kw_only=True, slots=True)
class Level:
    name: str
    volts: float


def profile(*, key: str, title: str, levels: list[Level], least_v: float | None) -> Picture | None:
    """None while a voltage on the path is not known."""
    if len(levels) < 2:
        return None
    volts = [level.volts for level in levels] + ([] if least_v is None else [least_v])
    low, high = min(volts), max(volts)
    span = max(high - low, 0.1)

    def height(value: float) -> float:
        return BASE - (value - low) / span * (BASE - TOP)

    step = (RIGHT - LEFT - 120) / (len(levels) - 1)
    places = [(LEFT + 60 + number * step, height(item.volts)) for number, item in enumerate(levels)]
    shapes: list[Shape] = [
        Line(points=((LEFT, BASE + 12), (RIGHT, BASE + 12)), look="thin"),
        Line(points=tuple(places), look="wire heavy"),
    ]
    if least_v is not None:
        shapes += _limit(height(least_v), least_v)
    limit = None if least_v is None else height(least_v)
    above = [(LEFT, TOP), *places]
    for (x, y), (_, before), level in zip(places, above, levels, strict=False):
        shapes += _level(x, y, level, room=step - 12)
        shapes.append(_volts(x, y, level, falls=y - before > 8, limit=limit))
    lost = levels[0].volts - levels[-1].volts
    return picture(
        key=key,
        title=title,
        words=(
            f"From {levels[0].volts:.2f} V at the supply to {levels[-1].volts:.2f} V at the load, "
            f"{lost:.2f} V lost over {len(levels)} test points. The table has the same data."
        ),
        width=WIDTH,
        height=HEIGHT,
        shapes=shapes,
    )


def _limit(y: float, least_v: float) -> list[Shape]:
    words = f"Least at the load: {least_v:.2f} V"
    return [
        Line(points=((LEFT, y), (RIGHT, y)), look="limit"),
        Line(points=((LEFT, 12), (LEFT + 40, 12)), look="limit"),
        Text(x=LEFT + 48, y=17, words=words),
    ]


def _volts(x: float, y: float, level: Level, *, falls: bool, limit: float | None) -> Text:
    """Over the dot; beside the line that falls to it, and over the limit that runs through."""
    base = y - 13
    if limit is not None and base - 14 < limit < base + 6:
        base = limit - 6
    words = f"{level.volts:.2f} V"
    if falls:
        return Text(x=x + 8, y=base, words=words, look="strong")
    return Text(x=x, y=base, words=words, look="strong", anchor="middle")


def _level(x: float, y: float, level: Level, *, room: float) -> list[Shape]:
    lines = wrap(level.name, room, size=14, most=2)
    return [
        Dot(x=x, y=y, radius=5),
        Line(points=((x, BASE + 8), (x, BASE + 16)), look="thin"),
        *(
            Text(x=x, y=BASE + 32 + 17 * number, words=line, anchor="middle")
            for number, line in enumerate(lines)
        ),
    ]
