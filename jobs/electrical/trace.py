"""From a load to its supply with the voltage to expect at each test point, and what goes dark."""

from collections.abc import Collection
from dataclasses import dataclass

from jobs.electrical.case import Case, Run
from jobs.electrical.design import Circuit, Conductor, Feed, Mode
from jobs.electrical.rules.drop import branch_drop_v, feed_drop_v
from jobs.findings import number


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """One place to put a meter, supply first. `volts` is None where data are missing."""

    name: str
    place: str
    device: str
    conductor: str
    label: str
    volts: float | None


def trace(
    case: Case, ref: str, *, mode: Mode | None = None, supply_v: float | None = None
) -> tuple[Point, ...]:
    """Test points from the supply to the loads of a circuit. KeyError for an unknown circuit.

    With a mode: the voltages of that mode at average current, as a slow meter shows them. Without:
    everything on at peak, from `supply_v` or the supply's nominal voltage.
    """
    circuit = case.circuits[ref]
    feed = case.feeds[circuit.feed]
    at_supply, at_panel, at_load = _volts(case, circuit, feed, mode, supply_v)
    supply = case.supplies[feed.supply]
    points = [
        Point(
            name=f"{supply.name or supply.ref} terminals",
            place="",
            device="",
            conductor="",
            label=supply.ref,
            volts=at_supply,
        )
    ]
    if not circuit.whole_feed:
        points.append(
            Point(
                name=f"Panel of feed {feed.ref}",
                place=_place(case, circuit),
                device=_device(feed),
                conductor=_conductor(case.feed_runs[feed.ref]),
                label=f"feed {feed.ref}",
                volts=at_panel,
            )
        )
    ends = [(load.name or load.ref, load.place) for load in circuit.loads]
    points += [
        Point(
            name=name,
            place=place,
            device=_device(circuit),
            conductor=_conductor(case.circuit_runs[ref]),
            label=circuit.label or circuit.ref,
            volts=at_load,
        )
        for name, place in ends or [(circuit.designation or ref, "")]
    ]
    return tuple(points)


def _volts(
    case: Case, circuit: Circuit, feed: Feed, mode: Mode | None, supply_v: float | None
) -> tuple[float | None, float | None, float | None]:
    if mode is not None:
        flow = case.flow(mode, at_peak=False)
        if flow.fault:
            return None, None, None
        return (
            flow.source_v[feed.supply],
            flow.feed_v.get(feed.ref),
            flow.voltage_v.get(circuit.ref),
        )
    start = supply_v if supply_v is not None else case.supply_v(feed)
    on_feed, on_branch = feed_drop_v(case, circuit), branch_drop_v(case, circuit)
    panel = None if start is None or on_feed is None else start - on_feed
    load = None if panel is None or on_branch is None else panel - on_branch
    return start, panel, load


def _place(case: Case, circuit: Circuit) -> str:
    """The node's place, and its channel, when a node switches the circuit."""
    node = next((item for item in case.design.nodes if item.ref == circuit.node), None)
    if node is None:
        return circuit.channel
    return ", ".join(part for part in (node.place, f"{node.ref} channel {circuit.channel}") if part)


def _device(item: Conductor) -> str:
    if item.device_a is None:
        return ""
    kind = str(item.device_kind or "").replace("_", " ")
    return f"{number(item.device_a)} A {kind}".strip()


def _conductor(run: Run) -> str:
    item = run.conductor
    if not item.awg or item.length_m is None:
        return ""
    return f"{item.awg} AWG, {number(item.length_m / 0.3048)} ft"


def goes_dark(case: Case, opened: str, *, mode: Mode | None = None) -> tuple[str, ...]:
    """Circuits that lose their supply when something opens, in the design's order.

    `opened` is "feed A", "node N1", "supply MAIN" or a circuit's reference; ValueError for
    anything else. A supply that a closed link of the mode joins to another one stays alive. A node
    whose logic goes dark switches its channels off, so what it switches is among them.
    """
    dark = _opened(case, opened, mode)
    while behind := {
        circuit.ref
        for node in dark_nodes(case, dark)
        for circuit in case.circuits_on(node)
        if circuit.ref not in dark
    }:
        dark |= behind
    return tuple(ref for ref in case.circuits if ref in dark)


def dark_nodes(case: Case, dark: Collection[str]) -> tuple[str, ...]:
    """Nodes that every circuit that powers them has left."""
    return tuple(
        node.ref for node in case.design.nodes if node.powered_by and {*node.powered_by} <= {*dark}
    )


def _opened(case: Case, opened: str, mode: Mode | None) -> set[str]:
    """What hangs on the opened thing itself."""
    what, _, ref = opened.partition(" ")
    if opened in case.circuits:
        return {opened}
    if what == "feed" and ref in case.feeds:
        return {item.ref for item in case.circuits_of[ref]}
    if what == "node" and any(node.ref == ref for node in case.design.nodes):
        return {item.ref for item in case.circuits_on(ref)}
    if what == "supply" and ref in case.supplies:
        if _helped(case, ref, mode):
            return set()
        return {item.ref for item in case.design.circuits if case.feeds[item.feed].supply == ref}
    raise ValueError(f'there is nothing called "{opened}" to open')


def _helped(case: Case, supply: str, mode: Mode | None) -> bool:
    links = mode.closed_links if mode is not None else ()
    ends = [{case.feeds[link].supply, case.feeds[link].second_supply} for link in links]
    return any(supply in pair and None not in pair for pair in ends)
