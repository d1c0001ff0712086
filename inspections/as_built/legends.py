"""What stands on the lid of each panel, in the order of its slots."""

import re
from collections.abc import Iterable
from typing import Any

from jobs.models import Circuit
from jobs.templatetags.units import amps

Row = dict[str, str]


def legend_panels(circuits: Iterable[Circuit]) -> list[dict[str, Any]]:
    """One panel a feed: its own devices by slot, then the channels of each node."""
    feeds: dict[int, list[Circuit]] = {}
    for circuit in circuits:
        feeds.setdefault(circuit.feed_id, []).append(circuit)
    panels = []
    for found in feeds.values():
        feed = found[0].feed
        panels.append(
            {
                "ref": feed.ref,
                "name": feed.name,
                "place": feed.panel_place,
                "amps": amps(feed.device_ma),
                "rows": [_row(circuit) for circuit in sorted(found, key=_order)],
            }
        )
    return sorted(panels, key=lambda panel: str(panel["ref"]))


def _row(circuit: Circuit) -> Row:
    node = circuit.node
    return {
        "slot": f"{node.ref}.{circuit.channel}" if node else circuit.channel or "–",
        "ref": circuit.label or circuit.ref,
        "name": circuit.designation,
        "amps": amps(circuit.device_ma),
    }


def _order(circuit: Circuit) -> tuple[Any, ...]:
    """As on the panel: channel 10 stands behind channel 9."""
    parts = re.split(r"(\d+)", circuit.channel)
    natural = [(int(part), "") if part.isdigit() else (-1, part) for part in parts]
    return (circuit.node.ref if circuit.node else "", natural, circuit.ref)
