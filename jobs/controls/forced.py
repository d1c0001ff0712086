"""What must hold for a node to be true: a contradiction among it decides without any search.

Most interlocks repeat a condition that the rule states itself, so that this alone proves them.
"""

from collections.abc import Iterable

from jobs.controls.circuit import FALSE, TRUE, Circuit, Gate

NOT, AND, OR = Gate.NOT, Gate.AND, Gate.OR


def forced(circuit: Circuit, wanted: Iterable[int]) -> dict[int, bool] | None:
    """The nodes that have one value only while these are all true; None when that cannot be."""
    gates, inputs = circuit.gates, circuit.inputs
    values = {TRUE: True, FALSE: False}
    waiting = [(node, True) for node in wanted]
    choices: list[tuple[tuple[int, ...], bool]] = []
    while True:
        while waiting:
            node, value = waiting.pop()
            gate = gates[node]
            while gate is NOT:
                node, value = inputs[node][0], not value
                gate = gates[node]
            known = values.get(node)
            if known is not None:
                if known is not value:
                    return None
                continue
            values[node] = value
            if gate is AND or gate is OR:
                if value is (gate is AND):
                    waiting += [(part, value) for part in inputs[node]]
                else:
                    choices.append((inputs[node], value))
        left = []
        for parts, value in choices:
            free = _free(gates, inputs, values, parts, value)
            if free is None:
                continue
            if len(free) < 2:
                if not free:
                    return None
                waiting.append((free[0], value))
            else:
                left.append((parts, value))
        choices = left
        if not waiting:
            return values


def _free(
    gates: list[Gate],
    inputs: list[tuple[int, ...]],
    values: dict[int, bool],
    parts: tuple[int, ...],
    value: bool,
) -> list[int] | None:
    """The parts that can still give a gate its value; None when one does already."""
    free = []
    for part in parts:
        node, wanted = part, value
        while gates[node] is NOT:
            node, wanted = inputs[node][0], not wanted
        known = values.get(node)
        if known is None:
            free.append(part)
        elif known is wanted:
            return None
    return free
