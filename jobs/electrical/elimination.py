"""The order in which unknown nodes are eliminated: leaves first, rings last, least fill.

Done once per network. On a tree every node has one neighbour left when its turn comes, so nothing
fills in and a solve costs two passes over the nodes. On a ring the last few nodes carry the fill.
"""

from dataclasses import dataclass
from itertools import compress

from jobs.electrical.network import Network


@dataclass(frozen=True, kw_only=True, slots=True)
class Plan:
    """A network summed up and put in order; good for every demand on the same network."""

    reached: tuple[int, ...]
    held: dict[int, float]
    base_diagonal: tuple[float, ...]
    base_current: tuple[float, ...]
    # First the nodes that hang off like a tree, each with its one neighbour and the conductance
    # between them. The neighbour is -1 at the last node of a part that holds no ring. Three rows
    # of numbers and not one of triples: a large network then stays in the processor's cache.
    tree: tuple[int, ...]
    beyond: tuple[int, ...]
    between_s: tuple[float, ...]
    # Then what is left of the rings: node, the neighbours it has left at its turn.
    rings: tuple[tuple[int, tuple[int, ...]], ...]
    ring_conductance: dict[tuple[int, int], float]
    # The branches at each node that is held: other end and conductance.
    at_source: dict[int, tuple[tuple[int, float], ...]]


def plan(network: Network) -> Plan:
    """Sum the conductances, choose the order, drop what no source reaches."""
    held = {item.node: item.voltage_v for item in network.sources if item.resistance_ohm == 0}
    at_source: dict[int, list[tuple[int, float]]] = {node: [] for node in held}
    diagonal, current = [0.0] * network.size, [0.0] * network.size
    # Nodes beside a source, how many branches each node has left, and which: with one left, the
    # exclusive or of their numbers is its number.
    fed, degree, left = bytearray(network.size), [0] * network.size, [0] * network.size
    for source in network.sources:
        if source.resistance_ohm > 0:
            fed[source.node] = 1
            diagonal[source.node] += 1 / source.resistance_ohm
            current[source.node] += source.voltage_v / source.resistance_ohm
    for number, branch in enumerate(network.branches):
        a, b, g = branch.a, branch.b, 1 / branch.resistance_ohm
        diagonal[a] += g
        diagonal[b] += g
        if a in held or b in held:
            for node, other in ((a, b), (b, a)):
                if node in held:
                    at_source[node].append((other, g))
                    current[other] += g * held[node]
                    fed[other] = 1
        else:
            degree[a] += 1
            degree[b] += 1
            left[a] ^= number
            left[b] ^= number
    tree, beyond, between = _peel_leaves(network, held, degree, left)
    around, conductance = _rings(network, held.keys() | tree)
    _spread(fed, tree, beyond, around)
    unknown = [node for node in range(network.size) if fed[node] and node not in held]
    for node in range(network.size):
        if not fed[node]:
            diagonal[node] = 0.0
    kept = [bool(fed[node]) for node in tree]
    return Plan(
        reached=tuple(unknown),
        held=held,
        base_diagonal=tuple(diagonal),
        base_current=tuple(current),
        tree=tuple(compress(tree, kept)),
        beyond=tuple(compress(beyond, kept)),
        between_s=tuple(compress(between, kept)),
        rings=tuple(_least_degree_order({n: o for n, o in around.items() if fed[n]})),
        ring_conductance=conductance,
        at_source={node: tuple(others) for node, others in at_source.items()},
    )


def _peel_leaves(
    network: Network, held: dict[int, float], degree: list[int], left: list[int]
) -> tuple[list[int], list[int], list[float]]:
    """Take nodes with at most one branch until only rings are left; -1 for no neighbour."""
    tree: list[int] = []
    beyond: list[int] = []
    between: list[float] = []
    waiting = [node for node, count in enumerate(degree) if count <= 1 and node not in held]
    while waiting:
        node = waiting.pop()
        tree.append(node)
        if degree[node] == 0:
            beyond.append(-1)
            between.append(0.0)
            continue
        number = left[node]
        branch = network.branches[number]
        other = branch.b if branch.a == node else branch.a
        beyond.append(other)
        between.append(1 / branch.resistance_ohm)
        left[other] ^= number
        degree[other] -= 1
        if degree[other] == 1:
            waiting.append(other)
    return tree, beyond, between


def _rings(
    network: Network, gone: set[int]
) -> tuple[dict[int, set[int]], dict[tuple[int, int], float]]:
    """The neighbours of each node that is not gone, and what conducts between them."""
    around: dict[int, set[int]] = {node: set() for node in range(network.size) if node not in gone}
    conductance: dict[tuple[int, int], float] = {}
    for branch in network.branches if around else ():
        a, b = branch.a, branch.b
        if a in around and b in around:
            around[a].add(b)
            around[b].add(a)
            g = conductance.get((a, b), 0.0) + 1 / branch.resistance_ohm
            conductance[a, b] = conductance[b, a] = g
    return around, conductance


def _spread(
    fed: bytearray, tree: list[int], beyond: list[int], around: dict[int, set[int]]
) -> None:
    """Mark everything that is joined to what a source feeds: in, about the rings, and out again."""
    for node, other in zip(tree, beyond, strict=True):
        if fed[node] and other >= 0:
            fed[other] = 1
    waiting = [node for node in around if fed[node]]
    while waiting:
        for other in around[waiting.pop()]:
            if not fed[other]:
                fed[other] = 1
                waiting.append(other)
    for node, other in zip(reversed(tree), reversed(beyond), strict=True):
        if other >= 0 and fed[other]:
            fed[node] = 1


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
