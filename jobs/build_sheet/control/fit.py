"""What the logic needs of its nodes: the page, and the configuration table to be exported."""

import json
from dataclasses import asdict, dataclass, fields
from typing import Any

from catalog.sheets import csv_lines
from jobs.controls.logic import Channel, Logic, Node
from jobs.controls.nodefit import CONTINUOUS_SHARE, NodeFit, Row, loads, wired_signals
from jobs.controls.signals import Signal
from jobs.controls.words import capital

WIRING = {"normally_open": "Normally open", "normally_closed": "Normally closed"}
TITLES = [each.name for each in fields(Row)]


@dataclass(frozen=True, kw_only=True, slots=True)
class Seat:
    """One channel or pin with what sits on it; nothing means spare."""

    pin: str
    name: str = ""
    label: str = ""
    kind: str = ""
    load_ma: int = 0
    peak_ma: int = 0
    allowed_ma: int = 0
    peak_allowed_ma: int = 0
    wiring: str = ""
    reads_when_cut: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class NodeSheet:
    name: str
    label: str
    channels: tuple[Seat, ...]
    pins: tuple[Seat, ...]
    spare_channels: int
    spare_pins: int
    total_ma: int
    limit_ma: int


def node_sheets(logic: Logic) -> list[NodeSheet]:
    return [_sheet(logic, node) for node in logic.nodes]


def _sheet(logic: Logic, node: Node) -> NodeSheet:
    at = {wire.place: wire.name for wire in logic.wires}
    by_name = {load.name: load for load in loads(logic)}
    signals = {signal.name: signal for signal in logic.signals}
    channels = []
    for channel in node.channels:
        load = by_name.get(at.get(f"{node.name}.{channel.name}", ""))
        seat = _channel(channel)
        if load is not None:
            seat |= {"name": load.name, "label": capital(load.label)}
            seat |= {"load_ma": load.load_ma, "peak_ma": load.peak_ma}
        channels.append(Seat(**seat))
    pins = [_pin(pin, signals.get(at.get(f"{node.name}.{pin}", ""))) for pin in node.inputs]
    return NodeSheet(
        name=node.name,
        label=capital(node.label),
        channels=tuple(channels),
        pins=tuple(pins),
        spare_channels=sum(not each.name for each in channels),
        spare_pins=sum(not each.name for each in pins),
        total_ma=sum(each.load_ma for each in channels),
        limit_ma=node.limit_ma,
    )


def _channel(channel: Channel) -> dict[str, Any]:
    return {
        "pin": channel.name,
        "kind": channel.kind,
        "allowed_ma": int(channel.limit_ma * CONTINUOUS_SHARE),
        "peak_allowed_ma": channel.peak_limit_ma or channel.limit_ma,
    }


def _pin(pin: str, signal: Signal | None) -> Seat:
    if signal is None:
        return Seat(pin=pin)
    return Seat(
        pin=pin,
        name=signal.name,
        label=capital(signal.label),
        wiring=WIRING.get(signal.wiring, "On the data bus"),
        reads_when_cut="unknown, noticed" if signal.monitored else signal.words(signal.open_index),
    )


def needs_nodes(logic: Logic) -> bool:
    return bool(logic.nodes or loads(logic) or wired_signals(logic))


def table_csv(fit: NodeFit) -> str:
    """For a spreadsheet; the first line names version and hash."""
    rows = [[str(getattr(row, title)) for title in TITLES] for row in fit.rows]
    return "".join(csv_lines(["version", fit.version, "sha256", fit.sha256], [TITLES, *rows]))


def table_json(fit: NodeFit) -> str:
    data = {
        "format": "configuration",
        "version": fit.version,
        "sha256": fit.sha256,
        "rows": [asdict(row) for row in fit.rows],
        "spare": [asdict(each) for each in fit.spare],
        "findings": [
            {"rule": each.rule, "severity": str(each.severity), "subject": each.subject,
             "message": each.message}
            for each in fit.findings
        ],
    }  # fmt: skip
    return json.dumps(data, indent=1, ensure_ascii=False)
