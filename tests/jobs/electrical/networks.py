"""Random networks such as vehicles have: sources, panels, circuits, rings, all three load kinds."""

import random

from jobs.electrical.network import Branch, Demand, Network, Source


def random_network(
    seed: int, *, loads: int, rings: int = 0, sources: int = 1
) -> tuple[Network, Demand]:
    """A tree from node 0 through panels to loads, with extra branches and sources on top."""
    pick = random.Random(seed)
    branches: list[Branch] = []
    size = 1

    def grow(parent: int, low: float, high: float) -> int:
        nonlocal size
        branches.append(Branch(a=parent, b=size, resistance_ohm=pick.uniform(low, high)))
        size += 1
        return size - 1

    panels = [grow(0, 0.0005, 0.004) for _ in range(max(1, loads // 10))]
    ends = []
    for _ in range(loads):
        end = grow(pick.choice(panels), 0.01, 0.15)
        if pick.random() < 0.5:
            end = grow(end, 0.01, 0.05)
        ends.append(end)
    for _ in range(rings):
        a, b = pick.sample(range(size), 2)
        branches.append(Branch(a=a, b=b, resistance_ohm=pick.uniform(0.005, 0.1)))
    supplies = [
        Source(
            node=0, voltage_v=pick.uniform(11.8, 14.4), resistance_ohm=pick.choice([0.0, 0.004])
        ),
        *(
            Source(node=panel, voltage_v=pick.uniform(12.0, 14.0), resistance_ohm=0.006)
            for panel in pick.sample(panels, min(sources - 1, len(panels)))
        ),
    ]
    return (
        Network(size=size, branches=tuple(branches), sources=tuple(supplies)),
        _demand(pick, size, ends),
    )


def _demand(pick: random.Random, size: int, ends: list[int]) -> Demand:
    current, power, conductance = [0.0] * size, [0.0] * size, [0.0] * size
    for end in ends:
        amps, kind = pick.uniform(0.1, 5.0), pick.random()
        if kind < 0.4:
            current[end] = amps
        elif kind < 0.8:
            power[end] = amps * 12
        else:
            conductance[end] = amps / 12
    return Demand(current_a=tuple(current), power_w=tuple(power), conductance_s=tuple(conductance))
