"""The single-line diagram on a fixed grid: supply, device, feed, panel, node, one row a circuit.

Everything has its column, so that two revisions laid side by side show what changed.
"""

from itertools import groupby

from jobs.build_sheet.pictures.parts import CircuitPart, FeedPart, SupplyPart, sheets_of
from jobs.build_sheet.pictures.shapes import (
    Box,
    Line,
    Picture,
    Shape,
    Text,
    picture,
    shorten,
    wrap,
)
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
HEAD, ROW = 30, 40
# What a landscape sheet holds under its heading.
ROWS_A_SHEET = 15
SUPPLY_WIDTH, SUPPLY_HEIGHT = 128, 74
PANEL_X, PANEL_WIDTH = 262, 106
NODE_X, NODE_WIDTH = 388, 84
DEVICE_X, WIRE_X, REF_X, NAME_X = 520, 624, 730, 812
COLUMNS = (
    (0, "Supply"), (PANEL_X, "Panel"), (NODE_X, "Node or slot"), (DEVICE_X, "Protection"),
    (WIRE_X, "Conductor"), (REF_X, "Circuit and current"), (WIDTH - MARK_WIDTH - 2, "Checks"),
)  # fmt: skip


def feed_pictures(feed: FeedPart) -> list[Picture]:
    """One feed with its circuits, as many sheets as it needs."""
    parts = sheets_of(feed.by_node(), ROWS_A_SHEET)
    return [
        _feed_sheet(feed, circuits, number=number, of=len(parts))
        for number, circuits in enumerate(parts, start=1)
    ]


def _feed_sheet(feed: FeedPart, circuits: list[CircuitPart], *, number: int, of: int) -> Picture:
    bottom = HEAD + max(len(circuits), 4 if feed.second else 2) * ROW
    shapes: list[Shape] = [_head(x, words) for x, words in COLUMNS]
    shapes += _lead(feed, feed.supply, top=HEAD)
    if feed.second:
        shapes += _lead(feed, feed.second, top=HEAD + 2 * ROW)
    shapes += _panel(feed, bottom)
    top = HEAD
    for node, group in groupby(circuits, key=lambda circuit: circuit.node):
        rows = list(group)
        if node:
            shapes += _node(feed, node, top=top, rows=len(rows))
        for circuit in rows:
            shapes += _circuit(circuit, y=top + 22)
            top += ROW
    sheet = f", sheet {number} of {of}" if of > 1 else ""
    return picture(
        key=f"line-{feed.ref.lower()}-{number}",
        title=f"Single line of feed {feed.ref}: {feed.name}{sheet}",
        words=(
            f"From {feed.supply.name} through {feed.device} and {feed.wire}, {feed.length}, to the "
            f"panel of feed {feed.ref}; from there {len(circuits)} circuits, one a row. The table "
            "has the same data."
        ),
        width=WIDTH,
        height=bottom + 2,
        shapes=shapes,
    )


def _head(x: float, words: str) -> Text:
    return Text(x=x, y=16, words=words, size=13, look="quiet")


def _lead(feed: FeedPart, supply: SupplyPart, *, top: float) -> list[Shape]:
    """A supply and the way from it to the panel."""
    y, x = top + 36, SUPPLY_WIDTH + 10
    after = x + DEVICE_WIDTH
    room = PANEL_X - after - 8
    return [
        *supply_box(supply, top=top, width=SUPPLY_WIDTH, height=SUPPLY_HEIGHT),
        Line(points=((SUPPLY_WIDTH, y), (x, y)), look="wire heavy"),
        *device(feed.kind, x=x, y=y),
        Line(points=((after, y), (PANEL_X, y)), look="wire heavy"),
        cell(after + 4, y - 23, feed.device, room),
        cell(after + 4, y - 7, KINDS.get(feed.kind, ""), room, quiet=True),
        cell(after + 4, y + 17, feed.wire, room),
        cell(after + 4, y + 33, feed.under_wire, room, quiet=True),
    ]


def _panel(feed: FeedPart, bottom: float) -> list[Shape]:
    room, most = PANEL_WIDTH - 14, int(bottom - HEAD - 28) // 16
    lines = wrap(feed.name, room, size=14, most=2)
    words = [(line, "plain") for line in lines]
    words += [(line, "quiet") for line in wrap(feed.place, room, size=13, most=most - len(lines))]
    return [
        Box(x=PANEL_X, y=HEAD, width=PANEL_WIDTH, height=bottom - HEAD, look="box board"),
        strong(PANEL_X + 7, HEAD + 18, f"Feed {feed.ref}", room),
        *(
            Text(x=PANEL_X + 7, y=HEAD + 35 + 16 * number, words=line, size=13, look=look)
            for number, (line, look) in enumerate(words)
        ),
    ]


def _node(feed: FeedPart, ref: str, *, top: float, rows: int) -> list[Shape]:
    """A node spans the rows of its channels; its place is written where there is room."""
    place = next((node.place for node in feed.nodes if node.ref == ref), "")
    room, height, y = NODE_WIDTH - 12, rows * ROW - 6, top + 22
    lines = wrap(place, room, size=13, most=(height - 24) // 16) if height >= 40 and place else []
    return [
        Box(x=NODE_X, y=top + 3, width=NODE_WIDTH, height=height),
        Line(points=((PANEL_X + PANEL_WIDTH, y), (NODE_X, y))),
        strong(NODE_X + 6, top + 20, ref, room),
        *(
            Text(x=NODE_X + 6, y=top + 37 + 16 * number, words=line, size=13, look="quiet")
            for number, line in enumerate(lines)
        ),
    ]


def _circuit(circuit: CircuitPart, *, y: float) -> list[Shape]:
    """One row: from node or panel through device and conductor to what it feeds."""
    start = NODE_X + NODE_WIDTH if circuit.node else PANEL_X + PANEL_WIDTH
    slot_x = start + 4 if circuit.node else NODE_X
    end, room = REF_X - 12, WIDTH - MARK_WIDTH - 8 - NAME_X
    slot = shorten(circuit.slot, DEVICE_X - slot_x - 4, size=13, mono=True)
    shapes: list[Shape] = [
        Text(x=slot_x, y=y - 7, words=slot, size=13, look="code"),
        Line(points=((end - 7, y - 5), (end, y), (end - 7, y + 5))),
        Text(x=REF_X, y=y - 3, words=shorten(circuit.ref, 78, size=14, mono=True), look="code"),
        strong(NAME_X, y - 3, circuit.name, room),
        cell(NAME_X, y + 13, circuit.current, room, quiet=True),
        *mark(circuit.state, right=WIDTH - 2, y=y),
    ]
    if circuit.whole_feed:
        own = "feed's own device and wire"
        return [
            *shapes,
            Line(points=((start, y), (end, y))),
            cell(DEVICE_X, y - 7, own, end - DEVICE_X, quiet=True),
        ]
    after = DEVICE_X + DEVICE_WIDTH
    return [
        *shapes,
        Line(points=((start, y), (DEVICE_X, y))),
        *device(circuit.kind, x=DEVICE_X, y=y),
        Line(points=((after, y), (end, y))),
        cell(after + 5, y - 7, circuit.device, WIRE_X - after - 8),
        cell(after + 5, y + 16, KINDS.get(circuit.kind, ""), WIRE_X - after - 8, quiet=True),
        cell(WIRE_X, y - 7, circuit.wire, end - 8 - WIRE_X),
        cell(WIRE_X, y + 16, circuit.under_wire, end - 8 - WIRE_X, quiet=True),
    ]
