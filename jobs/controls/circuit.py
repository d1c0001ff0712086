"""Boolean nodes over numbered variables; equal nodes are made once and know their variables."""

from collections.abc import Iterable
from enum import IntEnum

FALSE, TRUE = 0, 1


class Gate(IntEnum):
    CONSTANT = 0
    VARIABLE = 1
    NOT = 2
    AND = 3
    OR = 4


class Circuit:
    """A graph of gates. A node is a number, its inputs have smaller numbers.

    `support[node]` is the set of variables it depends on, as a bit mask: bit v stands for variable
    v. `legal` holds nodes that are true in every state that can exist.
    """

    def __init__(self) -> None:
        self.gates: list[Gate] = [Gate.CONSTANT, Gate.CONSTANT]
        self.inputs: list[tuple[int, ...]] = [(), ()]
        self.support: list[int] = [0, 0]
        self.variables: list[int] = []
        self.legal: list[int] = []
        self._made: dict[tuple[Gate, tuple[int, ...]], int] = {}

    def variable(self) -> int:
        """A new variable; returns its node. `variables` maps its number to the node."""
        number = len(self.variables)
        node = self._add(Gate.VARIABLE, (number,), 1 << number)
        self.variables.append(node)
        return node

    def number(self, node: int) -> int:
        """The variable number of a variable's node."""
        return self.inputs[node][0]

    def negate(self, node: int) -> int:
        if node in (FALSE, TRUE):
            return TRUE - node
        if self.gates[node] is Gate.NOT:
            return self.inputs[node][0]
        return self._add(Gate.NOT, (node,), self.support[node])

    def all_of(self, nodes: Iterable[int]) -> int:
        return self._join(Gate.AND, nodes, neutral=TRUE, deciding=FALSE)

    def any_of(self, nodes: Iterable[int]) -> int:
        return self._join(Gate.OR, nodes, neutral=FALSE, deciding=TRUE)

    def equal(self, first: int, second: int) -> int:
        both = self.all_of((first, second))
        neither = self.all_of((self.negate(first), self.negate(second)))
        return self.any_of((both, neither))

    def _join(self, gate: Gate, nodes: Iterable[int], *, neutral: int, deciding: int) -> int:
        parts = {node for node in nodes if node != neutral}
        if deciding in parts or any(self._opposed(node, parts) for node in parts):
            return deciding
        if len(parts) < 2:
            return parts.pop() if parts else neutral
        support = 0
        for node in parts:
            support |= self.support[node]
        return self._add(gate, tuple(sorted(parts)), support)

    def _opposed(self, node: int, parts: set[int]) -> bool:
        return self.gates[node] is Gate.NOT and self.inputs[node][0] in parts

    def _add(self, gate: Gate, inputs: tuple[int, ...], support: int) -> int:
        key = (gate, inputs)
        node = self._made.get(key)
        if node is None:
            node = self._made[key] = len(self.gates)
            self.gates.append(gate)
            self.inputs.append(inputs)
            self.support.append(support)
        return node

    def cone(self, roots: Iterable[int]) -> list[int]:
        """Every node the roots depend on, inputs before the nodes that use them."""
        seen: set[int] = set()
        waiting = list(roots)
        while waiting:
            node = waiting.pop()
            if node in seen:
                continue
            seen.add(node)
            if self.gates[node] is not Gate.VARIABLE:
                waiting += self.inputs[node]
        return sorted(seen)

    def closure(self, support: int) -> tuple[int, list[int]]:
        """The variables tied to these by legal states, and the conditions that tie them."""
        ties: list[int] = []
        waiting = list(self.legal)
        while touching := [node for node in waiting if self.support[node] & support]:
            ties += touching
            waiting = [node for node in waiting if not self.support[node] & support]
            for node in touching:
                support |= self.support[node]
        return support, ties


def bits(mask: int) -> list[int]:
    """The numbers of the set bits, smallest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found
