"""Every moment that can follow from power-up, found by walking through truth tables."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.controls.cones import Cone, nearest
from jobs.controls.tables import Tables


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """A carried-over state, and how it was first reached: from where, by which inputs."""

    state: int
    before: "Visit | None" = None
    by: int = 0


class Reach:
    """Tables of one cone, cut into one slice of input states for each carried-over state."""

    def __init__(self, cone: Cone) -> None:
        self.cone = cone
        self.tables = Tables(cone.model.circuit, cone.order)
        self.width = 1 << len(cone.inputs)
        self.mask = (1 << self.width) - 1
        self.legal = self.tables.all_of(cone.ties)
        self.known = sum(1 << number for number in cone.order)
        following = cone.model.following
        self.following = [self.tables.table(following[number]) for number in cone.states]

    def slice(self, table: int, state: int) -> int:
        return table >> (state * self.width) & self.mask

    def holds(self, node: int, state: int) -> bool:
        """Whether a node is true in one state; False when it depends on more than the cone."""
        if self.cone.model.circuit.support[node] & ~self.known:
            return False
        return bool(self.tables.table(node) >> state & 1)

    def visits(self) -> Iterator[Visit]:
        """Reachable states, nearest to power-up first."""
        first = Visit(state=self.cone.start)
        seen = {first.state}
        layer = [first]
        while layer:
            yield from layer
            reached = []
            for visit in layer:
                for state, inputs in self.successors(visit.state):
                    if state not in seen:
                        seen.add(state)
                        reached.append(Visit(state=state, before=visit, by=inputs))
            layer = reached

    def successors(self, state: int) -> Iterator[tuple[int, int]]:
        """Each state that can come next, with the table of the inputs that lead there."""
        found = [(0, self.slice(self.legal, state))]
        for place, table in enumerate(self.following):
            ones = self.slice(table, state)
            split = []
            for target, inputs in found:
                split += [(target, inputs & ~ones), (target | 1 << place, inputs & ones)]
            found = [(target, inputs) for target, inputs in split if inputs]
        yield from found

    def path(self, visit: Visit) -> list[tuple[int, int]]:
        """State and inputs of each moment before this visit, in order."""
        steps = []
        while visit.before is not None:
            steps.append((visit.before.state, nearest(self.cone, visit.by)))
            visit = visit.before
        return steps[::-1]
