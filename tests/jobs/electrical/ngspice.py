"""ngspice as an independent second opinion on a network."""

import subprocess
from pathlib import Path

from jobs.electrical.network import Demand, Network

# Any lower and a constant-power load would find the lower of its two answers: started from 0 V,
# ngspice settles there, 12 V off and without a word. The bound keeps it on the upper branch, and
# is far faster than .nodeset lines on large networks.
LEAST_V = 6.0


def netlist(network: Network, demand: Demand) -> str:
    """The network as a deck that prints nothing but its node voltages."""
    lines = ["* direct-current network, returns lumped into the branches"]
    for index, source in enumerate(network.sources):
        if source.resistance_ohm:
            lines.append(f"V{index} s{index} 0 {source.voltage_v:.17g}")
            lines.append(f"RS{index} s{index} n{source.node} {source.resistance_ohm:.17g}")
        else:
            lines.append(f"V{index} n{source.node} 0 {source.voltage_v:.17g}")
    for index, branch in enumerate(network.branches):
        lines.append(f"R{index} n{branch.a} n{branch.b} {branch.resistance_ohm:.17g}")
    for node in range(network.size):
        if demand.current_a[node]:
            lines.append(f"I{node} n{node} 0 {demand.current_a[node]:.17g}")
        if demand.power_w[node]:
            watts = demand.power_w[node]
            lines.append(f"B{node} n{node} 0 I={watts:.17g}/max(V(n{node}),{LEAST_V})")
        if demand.conductance_s[node]:
            lines.append(f"RL{node} n{node} 0 {1 / demand.conductance_s[node]:.17g}")
    # The default reltol of 1e-3 would hide everything we want to see.
    lines.append(".options reltol=1e-9 abstol=1e-12 vntol=1e-10 gmin=1e-15")
    prints = "\n".join(f"print v(n{node})" for node in range(network.size))
    lines += [".control", "set numdgt=15", "op", prints, "quit", ".endc", ".end"]
    return "\n".join(lines) + "\n"


def voltages(network: Network, demand: Demand, folder: Path) -> list[float]:
    """Node voltages by ngspice in batch mode."""
    deck = folder / "network.cir"
    deck.write_text(netlist(network, demand))
    done = subprocess.run(
        ["ngspice", "-b", str(deck)], capture_output=True, text=True, timeout=60, check=False
    )
    found = {}
    for line in done.stdout.splitlines():
        name, equals, value = line.partition(" = ")
        if equals and name.startswith("v(n"):
            found[int(name[3:-1])] = float(value)
    if len(found) != network.size:
        raise AssertionError(f"ngspice gave {len(found)} of {network.size} voltages: {done.stderr}")
    return [found[node] for node in range(network.size)]
