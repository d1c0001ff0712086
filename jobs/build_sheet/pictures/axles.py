"""The vehicle from its side with what each axle carries, and a bar an axle against its rating."""

from dataclasses import dataclass

from jobs.build_sheet.pictures.shapes import (
    Box,
    Dot,
    Line,
    Picture,
    Shape,
    Text,
    picture,
    text_width,
)

WIDTH, HEIGHT = 900, 430
LEFT, RIGHT = 150, 660
FRONT_X, REAR_X, GROUND = 330, 640, 150
KINDS = ("as received", "added", "crew and gear")
LETTERS = "abc"


@dataclass(frozen=True, kw_only=True, slots=True)
class Axle:
    """Loads in pounds. What is added may also lift an axle: then it is below zero."""

    name: str
    received_lb: float
    added_lb: float
    carried_lb: float
    rating_lb: float | None

    @property
    def total_lb(self) -> float:
        return self.received_lb + self.added_lb + self.carried_lb

    @property
    def reaches(self) -> tuple[float, ...]:
        """How far its bar goes, part by part, and its rating."""
        empty = self.received_lb + self.added_lb
        return self.received_lb, empty, self.total_lb, self.rating_lb or 0.0

    @property
    def of_rating(self) -> str:
        if not self.rating_lb:
            return "rating not entered"
        percent = 100 * self.total_lb / self.rating_lb
        return f"{percent:.0f} % of {self.rating_lb:,.0f} lb"


def axles(front: Axle, rear: Axle) -> Picture:
    total = front.total_lb + rear.total_lb
    most = max(1.0, *front.reaches, *rear.reaches)
    scale = (RIGHT - LEFT) / most
    shapes: list[Shape] = [*_side_view(), *_legend()]
    for x, axle in ((FRONT_X, front), (REAR_X, rear)):
        share = f", {100 * axle.total_lb / total:.0f} % of the weight" if total > 0 else ""
        words = f"{axle.total_lb:,.0f} lb{share}"
        shapes.append(Text(x=x, y=GROUND + 36, words=words, look="strong", anchor="middle"))
    shapes += _bar(front, top=280, scale=scale) + _bar(rear, top=360, scale=scale)
    return picture(
        key="axles",
        title="Axle loads with crew and gear",
        words=(
            f"Front {front.total_lb:,.0f} lb, {front.of_rating}; rear {rear.total_lb:,.0f} lb, "
            f"{rear.of_rating}. The table has the same data."
        ),
        width=WIDTH,
        height=HEIGHT,
        shapes=shapes,
    )


def _side_view() -> list[Shape]:
    """A plain box on two axles; the front is on the left."""
    body = (
        (262, GROUND - 16), (262, 92), (290, 82), (332, 34), (352, 22), (728, 22), (736, 32),
        (736, GROUND - 16), (262, GROUND - 16),
    )  # fmt: skip
    window = ((322, 80), (346, 46), (392, 46), (392, 80), (322, 80))
    return [
        Line(points=body, look="wire heavy"),
        Line(points=window, look="thin"),
        Line(points=((240, GROUND + 14), (760, GROUND + 14)), look="thin"),
        *(Dot(x=x, y=GROUND - 12, radius=25, look="wheel") for x in (FRONT_X, REAR_X)),
        *(Dot(x=x, y=GROUND - 12, radius=4) for x in (FRONT_X, REAR_X)),
        Text(x=232, y=90, words="Front", look="quiet", anchor="end"),
        Text(x=766, y=90, words="Rear", look="quiet"),
    ]


def _legend() -> list[Shape]:
    shapes: list[Shape] = []
    x = float(LEFT)
    for letter, word in zip(LETTERS, KINDS, strict=True):
        shapes += [
            Box(x=x, y=224, width=22, height=20, look=f"part part-{letter}"),
            Text(x=x + 11, y=239, words=letter, size=13, look="strong", anchor="middle"),
            Text(x=x + 30, y=239, words=word),
        ]
        x += 54 + text_width(word, size=14)
    return [
        *shapes,
        Line(points=((x + 4, 222), (x + 4, 246)), look="limit"),
        Text(x=x + 14, y=239, words="axle rating"),
    ]


def _bar(axle: Axle, *, top: float, scale: float) -> list[Shape]:
    parts = (axle.received_lb, axle.added_lb, axle.carried_lb)
    shapes: list[Shape] = [
        Text(x=0, y=top + 25, words=axle.name, look="strong"),
        Line(points=((LEFT, top - 8), (LEFT, top + 46)), look="thin"),
    ]
    for place, (letter, pounds, end) in enumerate(zip(LETTERS, parts, axle.reaches, strict=False)):
        # Where a part lifts the axle, the bar steps back by it.
        low, high = sorted(LEFT + max(reach, 0.0) * scale for reach in (end - pounds, end))
        lifts = " lifts" if pounds < 0 else ""
        look = f"part part-{letter}{lifts}"
        shapes.append(Box(x=low, y=top, width=high - low, height=38, look=look))
        # What comes later may step back over this part.
        seen = min(high, *(LEFT + max(reach, 0.0) * scale for reach in axle.reaches[place:]))
        words, middle = f"{letter} {pounds:,.0f}", (low + seen) / 2
        if pounds > 0 and text_width(words, size=13) <= seen - low - 6:
            look = "strong"
            shapes.append(
                Text(x=middle, y=top + 24, words=words, size=13, look=look, anchor="middle")
            )
    if axle.rating_lb is not None:
        at = LEFT + axle.rating_lb * scale
        shapes.append(Line(points=((at, top - 10), (at, top + 48)), look="limit"))
    return [
        *shapes,
        Text(x=RIGHT + 16, y=top + 16, words=f"{axle.total_lb:,.0f} lb", look="strong"),
        Text(x=RIGHT + 16, y=top + 35, words=axle.of_rating, look="quiet"),
    ]
