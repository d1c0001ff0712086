"""What a single-line diagram shows, as plain words in the order of the schedule."""

from dataclasses import dataclass
from typing import TypeVar

Row = TypeVar("Row")


@dataclass(frozen=True, kw_only=True, slots=True)
class SupplyPart:
    ref: str
    name: str
    detail: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class NodePart:
    ref: str
    place: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class RunPart:
    """What feeds and circuits have in common, each fact in words."""

    ref: str
    name: str
    device: str
    kind: str
    wire: str
    colour: str
    length: str
    current: str
    state: str

    @property
    def under_wire(self) -> str:
        """Colour and length, as written under the line."""
        return f"{self.colour} {self.length}".strip()


@dataclass(frozen=True, kw_only=True, slots=True)
class CircuitPart(RunPart):
    node: str = ""
    slot: str = ""
    # It has no device or conductor of its own but uses those of its feed.
    whole_feed: bool = False
    loads: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class FeedPart(RunPart):
    supply: SupplyPart
    second: SupplyPart | None = None
    place: str = ""
    nodes: tuple[NodePart, ...] = ()
    circuits: tuple[CircuitPart, ...] = ()

    def by_node(self) -> list[CircuitPart]:
        """Circuits in drawing order: node after node, then those straight from the panel."""
        known = [node.ref for node in self.nodes]
        return sorted(
            self.circuits, key=lambda c: known.index(c.node) if c.node in known else len(known)
        )


def sheets_of(rows: list[Row], most: int) -> list[list[Row]]:
    """Rows in sheets of at most so many; one empty sheet when there are none."""
    return [rows[at : at + most] for at in range(0, len(rows), most)] or [[]]
