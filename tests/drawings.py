"""What every drawing must keep, whatever its data; and single-line parts of any size."""

from itertools import combinations

from jobs.build_sheet.pictures.parts import CircuitPart, FeedPart, NodePart, SupplyPart
from jobs.build_sheet.pictures.shapes import Box, Picture

LONG = "Warning lights of the left side, lower row, with spare for the second stage"
MAIN = SupplyPart(ref="MAIN", name="Main battery", detail="13.2 V, 95 Ah")


def clashes(picture: Picture) -> list[str]:
    """Pairs of words that overlap."""
    return [
        f"{a.words!r} and {b.words!r}"
        for a, b in combinations(picture.texts, 2)
        if a.box.overlaps(b.box)
    ]


def outside(picture: Picture) -> list[str]:
    """Words and boxes that leave the sheet."""
    sheet = Box(x=0, y=0, width=picture.width, height=picture.height)
    wrong = [text.words for text in picture.texts if not sheet.holds(text.box)]
    return wrong + [box.look for box in picture.boxes if not sheet.holds(box)]


def circuit(number: int, *, feed: str = "A", **facts: str) -> CircuitPart:
    states = ("pass", "fail", "warning", "undetermined")
    plausible = {
        "ref": f"{feed}-{number:03}", "name": LONG, "device": "12.5 A",
        "kind": ("fuse_blade", "breaker_modified", "electronic", "")[number % 4],
        "wire": "4/0 AWG", "colour": "light green and yellow", "length": "118.25 ft",
        "current": "112.25 A average, 236.75 A peak", "state": states[number % 4],
        "node": ("N1", "N2", "")[number % 3],
        "slot": ("10", "OUT-12 high", "relay R2/R3")[number % 3],
    }  # fmt: skip
    return CircuitPart(**{**plausible, **facts})  # type: ignore[arg-type]


def feed(circuits: int, *, ref: str = "A", second: SupplyPart | None = None) -> FeedPart:
    """A feed with so many circuits, all with long words, every device, slot and state."""
    return FeedPart(
        ref=ref, name=LONG, device="1,250 A", kind="breaker_modified", wire="4/0 AWG",
        colour="red and black", length="118.25 ft", current="not known average, 1,096.84 A peak",
        state="undetermined", supply=MAIN, second=second, place="Left rear panel behind the lid",
        nodes=(NodePart(ref="N1", place="Behind the console"), NodePart(ref="N2", place=LONG)),
        circuits=tuple(circuit(number, feed=ref) for number in range(circuits)),
    )  # fmt: skip
