"""A direct-current network as the solver sees it: nodes, branches, sources, demands.

The return is part of each branch's resistance, so a node's voltage is the one a meter shows across
that point and its own return. A node is a number; names belong to the caller.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Branch:
    """A conductor between two nodes; its resistance is above zero."""

    a: int
    b: int
    resistance_ohm: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """A battery or regulated supply at a node. Without internal resistance it holds its voltage."""

    node: int
    voltage_v: float
    resistance_ohm: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Network:
    size: int
    branches: tuple[Branch, ...]
    sources: tuple[Source, ...]

    def __post_init__(self) -> None:
        for branch in self.branches:
            if not branch.resistance_ohm > 0:
                raise ValueError(f"branch {branch.a}-{branch.b}: resistance must be above 0 ohm")
            if branch.a == branch.b:
                raise ValueError(f"branch {branch.a}-{branch.b}: both ends are the same node")
        for source in self.sources:
            if source.resistance_ohm < 0:
                raise ValueError(f"source at {source.node}: resistance must not be negative")
        held = [item.node for item in self.sources if item.resistance_ohm == 0]
        if len(held) != len(set(held)):
            raise ValueError("two sources without resistance hold the same node")


@dataclass(frozen=True, kw_only=True, slots=True)
class Demand:
    """What loads take, summed per node; each tuple has one number a node.

    A node's current is current_a + power_w / v + conductance_s * v.
    """

    current_a: tuple[float, ...]
    power_w: tuple[float, ...]
    conductance_s: tuple[float, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Solved:
    """Voltage of every node [V] (0 where no source reaches) and what each source delivers [A]."""

    voltage_v: tuple[float, ...]
    source_a: tuple[float, ...]
    iterations: int


@dataclass(frozen=True, kw_only=True, slots=True)
class NoOperatingPoint:
    """The loads cannot be supplied: a voltage collapses. `node` is where it showed first."""

    node: int
    reason: str
