"""Which test rows of a decision can be set up on the vehicle, and by which settings."""

from dataclasses import dataclass

from jobs.controls.circuit import bits
from jobs.controls.cones import Cone, cone_of
from jobs.controls.decisions import Decision
from jobs.controls.model import Model
from jobs.controls.tables import MAX_VARIABLES, Tables, column

MAX_COMPONENT = 14


@dataclass(frozen=True, kw_only=True, slots=True)
class Component:
    """Conditions that hang on the same signals.

    `tables` has, for each combination of them that can exist, the states that bring it about; bit i
    of a combination is the i-th of the `conditions`.
    """

    cone: Cone
    conditions: tuple[int, ...]
    tables: dict[int, int]

    def states(self, row: int) -> int:
        """The table of states that give its conditions their values of the row."""
        return self.tables.get(self.part(row), 0)

    def part(self, row: int) -> int:
        return sum((row >> number & 1) << at for at, number in enumerate(self.conditions))


def components(model: Model, decision: Decision) -> list[Component] | None:
    """Independent groups of conditions, or None when state or size forbids tables."""
    cones = [cone_of(model, place.node) for place in decision.places]
    if any(cone.states for cone in cones):
        return None
    groups = _joined([sum(1 << number for number in cone.order) for cone in cones])
    found = []
    for numbers in groups:
        cone = cone_of(model, *[decision.places[number].node for number in numbers])
        if len(cone.order) > MAX_COMPONENT:
            return None
        found.append(_component(cone, decision, numbers))
    return found


def _joined(masks: list[int]) -> list[list[int]]:
    """Numbers of masks that touch each other, directly or through others."""
    groups: list[tuple[int, list[int]]] = []
    for number, mask in enumerate(masks):
        apart = [(other, numbers) for other, numbers in groups if not other & mask]
        touching = [(other, numbers) for other, numbers in groups if other & mask]
        for other, _ in touching:
            mask |= other
        members = sorted([number, *[each for _, numbers in touching for each in numbers]])
        groups = [*apart, (mask, members)]
    return [numbers for _, numbers in groups]


def _component(cone: Cone, decision: Decision, numbers: list[int]) -> Component:
    tables = Tables(cone.model.circuit, cone.order)
    found = {0: tables.all_of(cone.ties)}
    for at, number in enumerate(numbers):
        ones = tables.table(decision.places[number].node)
        split = {}
        for part, table in found.items():
            split[part] = table & ~ones
            split[part | 1 << at] = table & ones
        found = {part: table for part, table in split.items() if table}
    return Component(cone=cone, conditions=tuple(numbers), tables=found)


def legal_rows(parts: list[Component], count: int) -> int | None:
    """The table of rows that can be set up, or None when that is all of them."""
    tied = [part for part in parts if len(part.tables) < 1 << len(part.conditions)]
    if not tied or count > MAX_VARIABLES:
        return None
    legal = (1 << (1 << count)) - 1
    for part in tied:
        legal &= _union(part, count)
    return legal


def _union(part: Component, count: int) -> int:
    everything = (1 << (1 << count)) - 1
    union = 0
    for combination in part.tables:
        rows = everything
        for at, number in enumerate(part.conditions):
            ones = column(number, count)
            rows &= ones if combination >> at & 1 else everything ^ ones
        union |= rows
    return union


def loose_rows(model: Model, decision: Decision) -> int | None:
    """As legal_rows, for decisions with memory: whatever was before counts as possible.

    Conditions that hang on many variables are left out, so some of the rows may still be out of
    reach.
    """
    circuit = model.circuit
    supports = [circuit.closure(circuit.support[place.node])[0] for place in decision.places]
    small = [at for at, mask in enumerate(supports) if mask.bit_count() <= MAX_COMPONENT]
    parts = []
    for group in _joined([supports[at] for at in small]):
        numbers = [small[each] for each in group]
        support, ties = circuit.closure(_union_of([supports[each] for each in numbers]))
        if support.bit_count() <= MAX_COMPONENT:
            cone = Cone(model=model, inputs=tuple(bits(support)), states=(), ties=tuple(ties))
            parts.append(_component(cone, decision, numbers))
    return legal_rows(parts, len(decision.places))


def _union_of(masks: list[int]) -> int:
    union = 0
    for mask in masks:
        union |= mask
    return union
