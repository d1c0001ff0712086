"""The order in which unknown nodes are eliminated: leaves first, rings last, least fill.

Done once per network. On a tree every node has one neighbour left when its turn comes, so nothing
fills in and a solve costs two passes over the nodes. On a ring the last few nodes carry the fill.
"""

from dataclasses import dataclass

from jobs.electrical.network import Network


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A network summed up and put in order; good for every demand on the same network."""

    reached: tuple[int, ...]
    held: dict[int, float]
    base_diagonal: tuple[float, ...]
    base_current: tuple[float, ...]
    # First the branches that hang off like a tree: node, its one neighbour, their conductance.
    # The neighbour is -1 at the last node of a part that holds no ring.
    tree: tuple[tuple[int, int, float], ...]
    # Then what is left of the rings: node, the neighbours it has left at its turn.
    rings: tuple[tuple[int, tuple[int, ...]], ...]
    ring_conductance: dict[tuple[int, int], float]
    # The branches at each source's node: other end and conductance.
    at_source: dict[int, tuple[tuple[int, float], ...]]


def plan(network: Network) -> Plan:
    """Sum the conductances, drop what no source reaches, choose the order."""
    held = {item.node: item.voltage_v for item in network.sources if item.resistance_ohm == 0}
    neighbours: list[dict[int, float]] = [{} for _ in range(network.size)]
    for branch in network.branches:
        g = 1 / branch.resistance_ohm
        neighbours[branch.a][branch.b] = neighbours[branch.a].get(branch.b, 0.0) + g
        neighbours[branch.b][branch.a] = neighbours[branch.b].get(branch.a, 0.0) + g
    diagonal, current = [0.0] * network.size, [0.0] * network.size
    for source in network.sources:
        if source.resistance_ohm > 0:
            diagonal[source.node] += 1 / source.resistance_ohm
            current[source.node] += source.voltage_v / source.resistance_ohm
    reached = _reached([item.node for item in network.sources], neighbours)
    unknown = [node for node in range(network.size) if node in reached and node not in held]
    left: dict[int, set[int]] = {}
    conductance: dict[tuple[int, int], float] = {}
    for node in unknown:
        diagonal[node] += sum(neighbours[node].values())
        left[node] = {other for other in neighbours[node] if other not in held}
        for other, g in neighbours[node].items():
            if other in held:
                current[node] += g * held[other]
            else:
                conductance[node, other] = g
    tree = _peel_leaves(left)
    in_rings = set(left)
    rings = _least_degree_order(left)
    return Plan(
        reached=tuple(unknown),
        held=held,
        base_diagonal=tuple(diagonal),
        base_current=tuple(current),
        tree=tuple(
            (node, other, conductance[node, other]) if other >= 0 else (node, -1, 0.0)
            for node, other in tree
        ),
        rings=tuple(rings),
        ring_conductance={pair: g for pair, g in conductance.items() if in_rings.issuperset(pair)},
        at_source={item.node: tuple(neighbours[item.node].items()) for item in network.sources},
    )


def _reached(starts: list[int], neighbours: list[dict[int, float]]) -> set[int]:
    seen, waiting = set(starts), list(starts)
    while waiting:
        for other in neighbours[waiting.pop()]:
            if other not in seen:
                seen.add(other)
                waiting.append(other)
    return seen


def _peel_leaves(left: dict[int, set[int]]) -> list[tuple[int, int]]:
    """Take nodes with at most one neighbour until only rings are left; -1 for no neighbour."""
    steps: list[tuple[int, int]] = []
    waiting = [node for node, others in left.items() if len(others) <= 1]
    while waiting:
        node = waiting.pop()
        around = left.pop(node)
        other = around.pop() if around else -1
        steps.append((node, other))
        if other >= 0:
            beyond = left[other]
            beyond.discard(node)
            if len(beyond) == 1:
                waiting.append(other)
    return steps


def _least_degree_order(left: dict[int, set[int]]) -> list[tuple[int, tuple[int, ...]]]:
    """Take a node with the fewest neighbours; its neighbours become neighbours of each other."""
    buckets: list[set[int]] = [set() for _ in range(len(left) + 1)]
    for node, others in left.items():
        buckets[len(others)].add(node)
    steps: list[tuple[int, tuple[int, ...]]] = []
    degree = 0
    for _ in range(len(left)):
        while not buckets[degree]:
            degree += 1
        node = buckets[degree].pop()
        around = left.pop(node)
        for other in around:
            mine = left[other]
            buckets[len(mine)].discard(other)
            mine.discard(node)
            mine.update(each for each in around if each != other)
            buckets[len(mine)].add(other)
        steps.append((node, tuple(sorted(around))))
        degree = max(0, degree - 1)
    return steps
