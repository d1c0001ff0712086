"""Truth tables in one whole number: bit s is the node's value in state s.

With k variables there are 2^k states, and AND, OR and NOT are one operation on all of them. Bit i
of a state's number is the value of the i-th variable in `order`.
"""

import hashlib
from collections.abc import Sequence
from functools import cache

from jobs.controls.circuit import FALSE, TRUE, Circuit, Gate

MAX_VARIABLES = 18
SAMPLES = 256


@cache
def column(position: int, size: int) -> int:
    """The table of the variable at this place among `size`: runs of 2^position zeros and ones."""
    everything = (1 << (1 << size)) - 1
    return everything ^ (everything // ((1 << (1 << position)) + 1))


@cache
def _pattern(number: int) -> int:
    """Bits that look like chance, always the same for the variable of this number."""
    return int.from_bytes(hashlib.shake_128(str(number).encode()).digest(SAMPLES // 8), "big")


class Tables:
    """Tables of any nodes over one order of variables."""

    def __init__(
        self, circuit: Circuit, order: Sequence[int], fixed: dict[int, bool] | None = None
    ) -> None:
        """Variables left out of the order have a `fixed` value."""
        self.circuit = circuit
        self.order = tuple(order)
        self.everything = (1 << (1 << len(self.order))) - 1
        self._known: dict[int, int] = {FALSE: 0, TRUE: self.everything}
        for position, number in enumerate(self.order):
            self._known[circuit.variables[number]] = column(position, len(self.order))
        for node, value in (fixed or {}).items():
            if circuit.gates[node] is Gate.VARIABLE:
                self._known[node] = self.everything if value else 0

    @classmethod
    def at(cls, circuit: Circuit, true: int) -> "Tables":
        """One state only: the variables of the mask are true, all others false."""
        point = cls(circuit, ())
        for number, node in enumerate(circuit.variables):
            point._known[node] = true >> number & 1
        return point

    @classmethod
    def sampled(cls, circuit: Circuit, numbers: Sequence[int], fixed: dict[int, bool]) -> "Tables":
        """SAMPLES states; what is not fixed goes by a pattern that looks like chance."""
        sample = cls(circuit, ())
        sample.everything = (1 << SAMPLES) - 1
        sample._known = {FALSE: 0, TRUE: sample.everything}
        for number in numbers:
            node = circuit.variables[number]
            if node in fixed:
                sample._known[node] = sample.everything if fixed[node] else 0
            else:
                sample._known[node] = _pattern(number)
        return sample

    def table(self, node: int) -> int:
        known = self._known
        if node not in known:
            self._work_out(self._missing(node))
        return known[node]

    def work_out_all(self) -> None:
        """Every node of the circuit, which is quicker than one by one when most are wanted."""
        gates = self.circuit.gates
        self._work_out([node for node in range(len(gates)) if node not in self._known])

    def _work_out(self, nodes: list[int]) -> None:
        known, gates, inputs = self._known, self.circuit.gates, self.circuit.inputs
        for node in nodes:
            gate, parts = gates[node], inputs[node]
            if gate is Gate.NOT:
                known[node] = self.everything ^ known[parts[0]]
                continue
            value = known[parts[0]]
            if gate is Gate.AND:
                for part in parts:
                    value &= known[part]
            else:
                for part in parts:
                    value |= known[part]
            known[node] = value

    def _missing(self, root: int) -> list[int]:
        known, inputs = self._known, self.circuit.inputs
        found = {root}
        waiting = [root]
        while waiting:
            for node in inputs[waiting.pop()]:
                if node not in known and node not in found:
                    found.add(node)
                    waiting.append(node)
        return sorted(found)

    def all_of(self, nodes: Sequence[int]) -> int:
        value = self.everything
        for node in nodes:
            value &= self.table(node)
        return value


def lowest(table: int) -> int:
    """The number of the first state in a table that is not empty."""
    return (table & -table).bit_length() - 1


def changed(table: int, position: int, size: int) -> int:
    """The states that differ from a state of the table in the variable at this place."""
    ones = column(position, size)
    run = 1 << position
    return ((table & ones) >> run) | ((table & ~ones) << run)
