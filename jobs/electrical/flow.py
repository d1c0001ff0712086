"""Voltages and currents of a design in one operating mode: the design handed to the solver."""

from dataclasses import dataclass, replace

from jobs.electrical.design import Circuit, LoadModel, Mode, ModeSource
from jobs.electrical.elimination import Plan, plan
from jobs.electrical.network import Branch, Demand, Network, NoOperatingPoint, Solved, Source
from jobs.electrical.runs import Runs
from jobs.electrical.solver import solve


@dataclass(frozen=True, kw_only=True, slots=True)
class Wiring:
    """The network of a design for one supply voltage and one set of closed links."""

    network: Network
    planned: Plan
    supply_node: dict[str, int]
    feed_node: dict[str, int]
    # Where a circuit's loads hang; where data are missing they hang as near as is known.
    circuit_node: dict[str, int]
    # Circuits whose own or whose feed's resistance is not known: their voltage is not known.
    unknown: frozenset[str]
    names: tuple[str, ...]


def at_voltage(wiring: Wiring, volts: float) -> Wiring:
    """The same wires with every source at another voltage: what sources drive grows alike."""
    network, planned = wiring.network, wiring.planned
    sources = tuple(replace(source, voltage_v=volts) for source in network.sources)
    factor = volts / network.sources[0].voltage_v if sources else 1.0
    return replace(
        wiring,
        network=replace(network, sources=sources),
        planned=replace(
            planned,
            held=dict.fromkeys(planned.held, volts),
            base_current=tuple(factor * amps for amps in planned.base_current),
        ),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Flow:
    """One mode solved. `fault` says why there is no answer; then the other fields are empty."""

    mode: Mode
    supply_v: float
    voltage_v: dict[str, float]
    feed_v: dict[str, float]
    source_v: dict[str, float]
    supply_a: dict[str, float]
    fault: str = ""
    # The supply, feed or circuit where it showed, as in "circuit A-02".
    fault_at: str = ""


def wire(runs: Runs, mode: Mode) -> Wiring:
    """Feeds and circuits as branches, supplies as sources; returns are part of the branches.

    With the engine or shore power on, the regulator holds the bus voltage; on the battery its
    internal resistance counts.
    """
    design = runs.design
    names: list[str] = []
    supply_node, feed_node, circuit_node = {}, {}, {}
    branches: list[Branch] = []
    unknown: set[str] = set()
    for supply in design.supplies:
        supply_node[supply.ref] = len(names)
        names.append(f"supply {supply.ref}")
    for feed in design.feeds:
        start, loop = supply_node[feed.supply], runs.feed_runs[feed.ref].loop_ohm
        if loop is None:
            feed_node[feed.ref] = start
            unknown.update(c.ref for c in runs.circuits_of[feed.ref] if not c.whole_feed)
        else:
            feed_node[feed.ref] = len(names)
            branches.append(Branch(a=start, b=len(names), resistance_ohm=loop))
            names.append(f"feed {feed.ref}")
            if feed.second_supply is not None and feed.ref in mode.closed_links:
                other = supply_node[feed.second_supply]
                branches.append(Branch(a=start, b=other, resistance_ohm=loop))
    for circuit in design.circuits:
        start = feed_node[circuit.feed]
        if circuit.whole_feed:
            start = supply_node[runs.feeds[circuit.feed].supply]
        loop = runs.circuit_runs[circuit.ref].loop_ohm
        if loop is None:
            circuit_node[circuit.ref] = start
            unknown.add(circuit.ref)
        else:
            circuit_node[circuit.ref] = len(names)
            branches.append(Branch(a=start, b=len(names), resistance_ohm=loop))
            names.append(f"circuit {circuit.ref}")
    on_battery = mode.source is ModeSource.BATTERY
    sources = tuple(
        Source(
            node=supply_node[supply.ref],
            voltage_v=mode.bus_v,
            resistance_ohm=supply.internal_resistance_ohm if on_battery else 0.0,
        )
        for supply in design.supplies
    )
    network = Network(size=len(names), branches=tuple(branches), sources=sources)
    return Wiring(
        network=network,
        planned=plan(network),
        supply_node=supply_node,
        feed_node=feed_node,
        circuit_node=circuit_node,
        unknown=frozenset(unknown),
        names=tuple(names),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class CircuitDemand:
    """What one circuit takes, by kind of load: amperes, watts, siemens."""

    current_a: float
    power_w: float
    conductance_s: float


def circuit_demand(circuit: Circuit, *, nominal_v: float, at_peak: bool) -> CircuitDemand:
    """The circuit's loads summed; loads whose current is not entered count nothing."""
    current = circuit.through_peak_a if at_peak else circuit.through_average_a
    power = conductance = 0.0
    for load in circuit.loads:
        amps = load.peak_a if at_peak else load.average_a
        if amps is None:
            continue
        amps *= load.quantity
        volts = load.rated_v or nominal_v
        if load.model is LoadModel.CURRENT:
            current += amps
        elif load.model is LoadModel.POWER:
            power += amps * volts
        else:
            conductance += amps / volts
    return CircuitDemand(current_a=current, power_w=power, conductance_s=conductance)


def mode_demand(
    wiring: Wiring, mode: Mode, demands: dict[str, CircuitDemand], *, by_duty: bool
) -> Demand:
    """What the circuits that are on in a mode take at each node, times their duty or in full."""
    size = wiring.network.size
    current, power, conductance = [0.0] * size, [0.0] * size, [0.0] * size
    for duty in mode.duty:
        share = duty.fraction
        if share == 0:
            continue
        if not by_duty:
            share = 1.0
        node, demand = wiring.circuit_node[duty.circuit], demands[duty.circuit]
        current[node] += share * demand.current_a
        power[node] += share * demand.power_w
        conductance[node] += share * demand.conductance_s
    return Demand(current_a=tuple(current), power_w=tuple(power), conductance_s=tuple(conductance))


def mode_flow(runs: Runs, wiring: Wiring, mode: Mode, demand: Demand) -> Flow:
    """Solve one mode. Voltages are given for every circuit whose wires are known."""
    answer = solve(wiring.network, demand, planned=wiring.planned)
    if isinstance(answer, NoOperatingPoint):
        where = wiring.names[answer.node]
        return Flow(
            mode=mode,
            supply_v=mode.bus_v,
            voltage_v={},
            feed_v={},
            source_v={},
            supply_a={},
            fault=f"{answer.reason} at {where}",
            fault_at=where,
        )
    return _named(runs, wiring, mode, answer)


def _named(runs: Runs, wiring: Wiring, mode: Mode, answer: Solved) -> Flow:
    volts = answer.voltage_v
    return Flow(
        mode=mode,
        supply_v=mode.bus_v,
        voltage_v={
            ref: volts[node]
            for ref, node in wiring.circuit_node.items()
            if ref not in wiring.unknown
        },
        feed_v={
            ref: volts[node]
            for ref, node in wiring.feed_node.items()
            if runs.feed_runs[ref].loop_ohm is not None
        },
        source_v={ref: volts[node] for ref, node in wiring.supply_node.items()},
        supply_a={
            supply.ref: amps + 0.0  # no minus zero
            for supply, amps in zip(runs.design.supplies, answer.source_a, strict=True)
        },
    )
