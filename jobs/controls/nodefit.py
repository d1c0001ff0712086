"""Outputs on node channels and signals on input pins: does it fit, and what is left."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from jobs.controls.codec import sha256
from jobs.controls.logic import Channel, Logic, Node
from jobs.controls.signals import Signal, Wiring
from jobs.controls.words import capital
from jobs.findings import Finding, Severity

# A continuous load may use this share of a channel; common practice, no published source.
CONTINUOUS_SHARE = 0.8
ON_THE_HEAD = "control head"


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """An output or lamp head that needs a channel."""

    name: str
    label: str
    load_ma: int
    peak_ma: int
    needs: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One line of the configuration table."""

    node: str
    pin: str
    name: str
    label: str
    kind: str = ""
    load_ma: int = 0
    peak_ma: int = 0
    limit_ma: int = 0
    wiring: str = ""
    reads_when_cut: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Spare:
    node: str
    channels: int
    inputs: int


@dataclass(frozen=True, kw_only=True, slots=True)
class NodeFit:
    version: str
    sha256: str
    rows: tuple[Row, ...]
    spare: tuple[Spare, ...]
    findings: tuple[Finding, ...]


def loads(logic: Logic) -> list[Load]:
    """Outputs that leave the logic, and lamp heads."""
    outputs = [each for each in logic.outputs if not each.internal and each.needs != ON_THE_HEAD]
    found = [
        Load(name=o.name, label=o.label, load_ma=o.load_ma, peak_ma=o.peak_ma, needs=o.needs)
        for o in outputs
    ]
    return found + [
        Load(name=h.name, label=h.label, load_ma=h.load_ma, peak_ma=h.peak_ma, needs="")
        for h in logic.heads
    ]


def wired_signals(logic: Logic) -> list[Signal]:
    """Signals that come over a wire of their own."""
    return [signal for signal in logic.signals if signal.wiring is not Wiring.BUS]


def node_fit(logic: Logic) -> NodeFit:
    """The configuration table of the logic as it is wired, and what is wrong with it."""
    return NodeFit(
        version=logic.version,
        sha256=sha256(logic),
        rows=tuple(_rows(logic)),
        spare=tuple(_spare(logic, node) for node in logic.nodes),
        findings=tuple(_findings(logic)),
    )


def _places(logic: Logic) -> dict[str, tuple[Node, Channel | None]]:
    places: dict[str, tuple[Node, Channel | None]] = {}
    for node in logic.nodes:
        places |= {f"{node.name}.{channel.name}": (node, channel) for channel in node.channels}
        places |= {f"{node.name}.{pin}": (node, None) for pin in node.inputs}
    return places


def _rows(logic: Logic) -> Iterator[Row]:
    places = _places(logic)
    by_name = {load.name: load for load in loads(logic)}
    signals = {signal.name: signal for signal in logic.signals}
    for wire in logic.wires:
        if wire.place not in places:
            continue
        node, channel = places[wire.place]
        pin = wire.place.removeprefix(f"{node.name}.")
        if channel is not None and wire.name in by_name:
            load = by_name[wire.name]
            yield Row(
                node=node.name,
                pin=pin,
                name=load.name,
                label=load.label,
                kind=channel.kind,
                load_ma=load.load_ma,
                peak_ma=load.peak_ma,
                limit_ma=channel.limit_ma,
            )
        elif channel is None and wire.name in signals:
            signal = signals[wire.name]
            cut = "unknown" if signal.monitored else signal.words(signal.open_index)
            yield Row(
                node=node.name,
                pin=pin,
                name=signal.name,
                label=signal.label,
                kind="input",
                wiring=str(signal.wiring),
                reads_when_cut=cut,
            )


def _spare(logic: Logic, node: Node) -> Spare:
    used = {wire.place for wire in logic.wires}
    return Spare(
        node=node.name,
        channels=sum(f"{node.name}.{channel.name}" not in used for channel in node.channels),
        inputs=sum(f"{node.name}.{pin}" not in used for pin in node.inputs),
    )


def _findings(logic: Logic) -> Iterator[Finding]:
    places = _places(logic)
    wired = {wire.name for wire in logic.wires}
    for load in loads(logic):
        if load.name not in wired:
            yield _bad("channel", load.name, f"{load.label} has no channel.")
    for signal in wired_signals(logic):
        if signal.name not in wired and logic.nodes:
            message = f"{signal.label} has no input pin."
            yield _bad("input", signal.name, message, Severity.UNDETERMINED)
    for place, count in Counter(wire.place for wire in logic.wires).items():
        if place not in places:
            yield _bad("place", place, f"{place} does not exist on any node.")
        elif count > 1:
            yield _bad("place", place, f"{place} is used {count} times.")
    yield from _over_limit(logic, places)


def _over_limit(logic: Logic, places: dict[str, tuple[Node, Channel | None]]) -> Iterator[Finding]:
    by_name = {load.name: load for load in loads(logic)}
    total: Counter[str] = Counter()
    for wire in logic.wires:
        node, channel = places.get(wire.place, (None, None))
        load = by_name.get(wire.name)
        if node is None or load is None:
            continue
        if channel is None:
            yield _bad("place", wire.name, f"{load.label} is wired to input pin {wire.place}.")
            continue
        total[node.name] += load.load_ma
        yield from _on_channel(load, wire.place, channel)
    for node in logic.nodes:
        if node.limit_ma and total[node.name] > node.limit_ma:
            yield _limit(
                "node", node.name, f"{node.label} as a whole", total[node.name], node.limit_ma
            )


def _on_channel(load: Load, place: str, channel: Channel) -> Iterator[Finding]:
    if load.needs and load.needs != channel.kind:
        message = f"{load.label} needs a channel of kind {load.needs}; {place} is {channel.kind}."
        yield _bad("kind", load.name, message)
    allowed = int(channel.limit_ma * CONTINUOUS_SHARE)
    if load.load_ma > allowed:
        yield _limit("continuous", load.name, f"{load.label} on {place}", load.load_ma, allowed)
    peak = channel.peak_limit_ma or channel.limit_ma
    if load.peak_ma > peak:
        yield _limit("peak", load.name, f"Peak of {load.label} on {place}", load.peak_ma, peak)


def _limit(rule: str, subject: str, what: str, measured_ma: int, limit_ma: int) -> Finding:
    return Finding(
        rule=f"node fit: {rule}",
        severity=Severity.FAIL,
        subject=subject,
        message=f"{capital(what)}: {measured_ma / 1000:g} A, at most {limit_ma / 1000:g} A.",
        measured=measured_ma / 1000,
        limit=limit_ma / 1000,
        unit="A",
        fix="Move it to a larger channel or split it.",
        source="common practice" if rule == "continuous" else "part data",
    )


def _bad(rule: str, subject: str, message: str, severity: Severity = Severity.FAIL) -> Finding:
    return Finding(
        rule=f"node fit: {rule}", severity=severity, subject=subject, message=capital(message)
    )
