"""Our solver against ngspice on the same networks, and how its time grows."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

from jobs.electrical.network import Solved
from jobs.electrical.solver import solve
from tests.bench.clock import Figure, best, growth
from tests.jobs.electrical.networks import random_network
from tests.jobs.electrical.ngspice import voltages

# Loads, and how many times faster than ngspice we have to be there.
SIZES = ((50, 10), (200, 10), (400, 10), (5_000, 5))


def figures() -> Iterator[Figure]:
    with tempfile.TemporaryDirectory() as folder:
        for loads, budget in SIZES:
            network, demand = _supplied(loads)
            rounds = 3 if loads > 1_000 else 8
            # Many short rounds: one that nothing else on the machine disturbs must be among them.
            ours = best(lambda n=network, d=demand: solve(n, d), rounds=60)
            theirs = best(lambda n=network, d=demand: voltages(n, d, Path(folder)), rounds=rounds)
            name = f"ngspice over ours, {loads:,} loads ({1000 * ours:.2f} ms)"
            yield Figure(name=name, value=theirs / ours, budget=budget, unit="x", least=True)
    few, many = _supplied(50), _supplied(5_000)
    times = many[0].size / few[0].size
    exponent = growth(lambda: solve(*few), lambda: solve(*many), times=times, rounds=15)
    yield Figure(name="growth exponent of a solve, 50 to 5,000 loads", value=exponent, budget=1.05)


def _supplied(loads: int):
    """A random network whose loads can be supplied: thin ones collapse, as they should."""
    for seed in range(1_000):
        network, demand = random_network(seed, loads=loads)
        scaled = _scaled(demand, min(1.0, 40 / loads))
        if isinstance(solve(network, scaled), Solved):
            return network, scaled
    raise AssertionError(f"no network of {loads} loads has an operating point")


def _scaled(demand, factor: float):
    kinds = ("current_a", "power_w", "conductance_s")
    scaled = {kind: tuple(factor * each for each in getattr(demand, kind)) for kind in kinds}
    return type(demand)(**scaled)
