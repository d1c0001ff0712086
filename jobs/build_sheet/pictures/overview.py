"""Supplies and their feeds: where the energy comes from and which panels it reaches."""

from jobs.build_sheet.pictures.parts import FeedPart, SupplyPart, sheets_of
from jobs.build_sheet.pictures.shapes import Box, Line, Picture, Shape, Text, picture, shorten
from jobs.build_sheet.pictures.symbols import (
    DEVICE_WIDTH,
    KINDS,
    MARK_WIDTH,
    cell,
    device,
    mark,
    strong,
    supply_box,
)

WIDTH = 1180
HEAD, ROW = 30, 84
ROWS_A_SHEET = 8
SUPPLY_WIDTH = 180
DEVICE_X, WIRE_X, PANEL_X, PANEL_WIDTH = 206, 340, 470, 330
LOAD_X = PANEL_X + PANEL_WIDTH + 16
COLUMNS = (
    (0, "Supply"), (DEVICE_X, "Protection"), (WIRE_X, "Conductor"), (PANEL_X, "Feed and its panel"),
    (LOAD_X, "Current"), (WIDTH - MARK_WIDTH - 2, "Checks"),
)  # fmt: skip

Row = tuple[SupplyPart, FeedPart | None]


def overview_pictures(supplies: list[SupplyPart], feeds: list[FeedPart]) -> list[Picture]:
    """Every supply with its feeds, one row a feed; a supply without feeds has a row of its own."""
    rows: list[Row] = []
    for supply in supplies:
        mine = [feed for feed in feeds if feed.supply.ref == supply.ref]
        rows += [(supply, feed) for feed in mine] or [(supply, None)]
    sheets = sheets_of(rows, ROWS_A_SHEET)
    return [_sheet(rows, number, len(sheets)) for number, rows in enumerate(sheets, start=1)]


def _sheet(rows: list[Row], number: int, of: int) -> Picture:
    shapes: list[Shape] = [Text(x=x, y=16, words=w, size=13, look="quiet") for x, w in COLUMNS]
    before = ""
    for place, (supply, feed) in enumerate(rows):
        top = HEAD + place * ROW
        if supply.ref != before:
            shapes += supply_box(supply, top=top, width=SUPPLY_WIDTH, height=74)
            first = top
        else:  # the next feed of the same supply leaves from its side
            turn = ((90, first + 74), (90, top + 36), (SUPPLY_WIDTH, top + 36))
            shapes.append(Line(points=turn, look="wire heavy"))
        before = supply.ref
        shapes += _row(feed, top) if feed else _nothing(top)
    sheet = f", sheet {number} of {of}" if of > 1 else ""
    fed = [feed for _, feed in rows if feed]
    return picture(
        key=f"overview-{number}",
        title=f"Supplies and feeds{sheet}",
        words=(
            f"{len({supply.ref for supply, _ in rows})} supplies and {len(fed)} feeds, one feed a "
            "row: supply, protective device, conductor, panel, current. The table has the same "
            "data."
        ),
        width=WIDTH,
        height=HEAD + max(len(rows), 1) * ROW,
        shapes=shapes,
    )


def _nothing(top: float) -> list[Shape]:
    words = "No feed leaves from here."
    return [Text(x=DEVICE_X, y=top + 41, words=words, size=13, look="quiet")]


def _row(feed: FeedPart, top: float) -> list[Shape]:
    y, after = top + 36, DEVICE_X + DEVICE_WIDTH
    room = PANEL_WIDTH - 16
    shapes: list[Shape] = [
        Line(points=((SUPPLY_WIDTH, y), (DEVICE_X, y)), look="wire heavy"),
        *device(feed.kind, x=DEVICE_X, y=y),
        Line(points=((after, y), (PANEL_X, y)), look="wire heavy"),
        cell(after + 5, y - 7, feed.device, WIRE_X - after - 8),
        cell(after + 5, y + 16, KINDS.get(feed.kind, ""), WIRE_X - after - 8, quiet=True),
        cell(WIRE_X, y - 7, feed.wire, PANEL_X - WIRE_X - 8),
        cell(WIRE_X, y + 16, feed.under_wire, PANEL_X - WIRE_X - 8, quiet=True),
        Box(x=PANEL_X, y=top, width=PANEL_WIDTH, height=74, look="box board"),
        strong(PANEL_X + 8, top + 19, f"Feed {feed.ref}: {feed.name}", room),
        cell(PANEL_X + 8, top + 37, feed.place or "place not entered", room, quiet=True),
        cell(PANEL_X + 8, top + 55, _what(feed), room),
        *mark(feed.state, right=WIDTH - 2, y=y),
    ]
    for number, words in enumerate(feed.current.split(", ")):
        shapes.append(cell(LOAD_X, y - 3 + 17 * number, words, WIDTH - MARK_WIDTH - 8 - LOAD_X))
    return shapes


def _what(feed: FeedPart) -> str:
    count = len(feed.circuits)
    words = f"{count} circuit{'' if count == 1 else 's'}"
    if feed.second:
        return f"Joins {feed.supply.ref} to {feed.second.ref}, {feed.device} at both ends"
    nodes = ", ".join(node.ref for node in feed.nodes)
    noun = "node" if len(feed.nodes) == 1 else "nodes"
    return shorten(f"{words}; {noun} {nodes}" if nodes else words, PANEL_WIDTH - 16, size=13)
