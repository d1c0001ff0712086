"""Newton's method on the node equations, in plain Python.

At every node: current in through the branches = current_a + power_w / v + conductance_s * v.
Constant-power loads make it non-linear and give it two answers; the upper one is the one that a
vehicle lives on. Newton started above it comes down to it without passing, because the equations
are convex there; when no upper answer exists a pivot turns negative or a voltage reaches zero, and
that is the answer: no operating point. A number from beyond that point would be garbage.
"""

from operator import add, sub

from jobs.electrical.elimination import Plan, plan
from jobs.electrical.network import Demand, Network, NoOperatingPoint, Solved

# The last step taken. Steps square, so what is left after it is far below a picovolt; only at the
# edge of collapse do they merely halve, hence the many iterations.
TOLERANCE_V = 1e-7
MOST_ITERATIONS = 80


def solve(
    network: Network, demand: Demand, *, planned: Plan | None = None
) -> Solved | NoOperatingPoint:
    """Voltages and source currents, or why there are none. `planned` saves the ordering."""
    order = planned or plan(network)
    power = [
        (node, watts)
        for node, watts in enumerate(demand.power_w)
        if watts and order.base_diagonal[node] and node not in order.held
    ]
    # What does not change from step to step.
    diagonal = list(map(add, order.base_diagonal, demand.conductance_s))
    current = list(map(sub, order.base_current, demand.current_a))
    voltage = _no_load(network, order)
    for count in range(1, MOST_ITERATIONS + 1):
        after = _step(order, diagonal[:], current[:], power, voltage)
        if isinstance(after, NoOperatingPoint):
            return after
        if not power or max(map(abs, map(sub, after, voltage))) < TOLERANCE_V:
            return _solved(network, order, demand, after, count)
        voltage = after
    lowest = min(order.reached, key=voltage.__getitem__)
    return NoOperatingPoint(node=lowest, reason="the voltage does not settle")


def _no_load(network: Network, order: Plan) -> list[float]:
    """Every reached node at the highest source voltage: above any answer."""
    highest = max((item.voltage_v for item in network.sources), default=0.0)
    voltage = [0.0] * network.size
    for node in order.reached:
        voltage[node] = highest
    for node, value in order.held.items():
        voltage[node] = value
    return voltage


def _step(
    order: Plan,
    diagonal: list[float],
    current: list[float],
    power: list[tuple[int, float]],
    voltage: list[float],
) -> list[float] | NoOperatingPoint:
    """One Newton step: near v, P/v is 2P/v - (P/v^2) v; then eliminate and put back."""
    for node, watts in power:
        v = voltage[node]
        current[node] -= 2 * watts / v
        diagonal[node] -= watts / (v * v)
    for node, other, g in zip(order.tree, order.beyond, order.between_s, strict=True):
        pivot = diagonal[node]
        if pivot <= 0:
            return NoOperatingPoint(node=node, reason="the voltage collapses")
        if other >= 0:
            share = g / pivot
            diagonal[other] -= g * share
            current[other] += share * current[node]
    after = voltage[:]
    if order.rings:
        fault = _eliminate_rings(order, diagonal, current, after)
        if fault is not None:
            return fault
    back = (reversed(order.tree), reversed(order.beyond), reversed(order.between_s))
    for node, other, g in zip(*back, strict=True):
        inflow = current[node] + g * after[other] if other >= 0 else current[node]
        after[node] = v = inflow / diagonal[node]
        if v <= 0:
            return NoOperatingPoint(node=node, reason="the voltage falls to zero")
    return after


def _eliminate_rings(
    order: Plan, diagonal: list[float], current: list[float], after: list[float]
) -> NoOperatingPoint | None:
    """The same for nodes with several neighbours left; their neighbours become joined."""
    g = dict(order.ring_conductance)
    for node, others in order.rings:
        pivot = diagonal[node]
        if pivot <= 0:
            return NoOperatingPoint(node=node, reason="the voltage collapses")
        for other in others:
            share = g[node, other] / pivot
            current[other] += share * current[node]
            diagonal[other] -= share * g[node, other]
            for third in others:
                if third != other:
                    g[other, third] = g.get((other, third), 0.0) + share * g[node, third]
    for node, others in reversed(order.rings):
        inflow = current[node] + sum(g[node, other] * after[other] for other in others)
        after[node] = inflow / diagonal[node]
        if after[node] <= 0:
            return NoOperatingPoint(node=node, reason="the voltage falls to zero")
    return None


def _solved(
    network: Network, order: Plan, demand: Demand, voltage: list[float], count: int
) -> Solved:
    """Source currents from the balance at each source's node."""
    through: dict[int, float] = {}
    for item in network.sources:
        if item.resistance_ohm:
            amps = (item.voltage_v - voltage[item.node]) / item.resistance_ohm
            through[item.node] = through.get(item.node, 0.0) + amps
    delivered = []
    for item in network.sources:
        node, v = item.node, voltage[item.node]
        if item.resistance_ohm:
            delivered.append((item.voltage_v - v) / item.resistance_ohm)
            continue
        leaving = sum(g * (v - voltage[other]) for other, g in order.at_source[node])
        delivered.append(leaving + load_current_a(demand, node, v) - through.get(node, 0.0))
    return Solved(voltage_v=tuple(voltage), source_a=tuple(delivered), iterations=count)


def load_current_a(demand: Demand, node: int, voltage_v: float) -> float:
    """What the loads of a node take at a voltage [A] = I + P / v + G v; 0 without voltage."""
    if voltage_v <= 0:
        return 0.0
    return (
        demand.current_a[node]
        + demand.power_w[node] / voltage_v
        + demand.conductance_s[node] * voltage_v
    )
