"""Every moment that can follow from power-up, found by walking through truth tables."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.controls.cones import Cone, nearest, spelled
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
        following = cone.model.following
        self.following = [self.tables.table(following[number]) for number in cone.states]

    def slice(self, table: int, state: int) -> int:
        return table >> (state * self.width) & self.mask

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

    def path(self, visit: Visit) -> tuple[int, ...]:
        """Each moment before this visit, in order, as a mask of true variables."""
        steps = []
        while visit.before is not None:
            inputs = nearest(self.cone, visit.by)
            steps.append(spelled(self.cone, visit.before.state, inputs))
            visit = visit.before
        return tuple(steps[::-1])
