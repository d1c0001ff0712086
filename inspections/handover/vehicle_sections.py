"""Packet sections to find things by: isolation, walk-round, channels, pins, grounds, routes."""

from collections.abc import Iterable
from typing import Any

from inspections.as_built.current import AsBuilt
from inspections.as_built.legends import legend_panels
from inspections.as_built.models import Place
from inspections.handover.drawings import drawing
from inspections.handover.facts import Section, section
from jobs.build_sheet.balances import places as placed
from jobs.build_sheet.models import Zone
from jobs.build_sheet.tracing import place_of
from jobs.build_sheet.unit_lines import lines_of
from jobs.models import BuildLine, Circuit, Feed, Unit
from jobs.templatetags.units import amps

Photos = list[dict[str, str]]


def emergency(unit: Unit, found: Iterable[Feed]) -> Section | None:
    """What to open when it must be dead at once. Sources that feed by themselves are named."""
    feeds = [
        {
            "ref": feed.ref,
            "name": feed.name,
            "supply": feed.supply.name
            + (f" and {feed.second_supply.name}" if feed.second_supply else ""),
            "device": f"{amps(feed.device_ma)} {feed.get_device_kind_display().lower()}",
            "place": feed.panel_place or "–",
        }
        for feed in found
    ]
    if not feeds:
        return None
    mains = getattr(unit.job, "ac_side", None)
    steps = ["Park, ignition off, key out. Let the crew know that the vehicle goes dark."]
    if mains and mains.shore:
        steps.append("Pull the shore plug.")
    if mains and mains.inverter_feed_id:
        steps.append("Switch the inverter off at its own switch; it can start by itself.")
    steps.append("Open the device of every feed that you will work on, as listed below.")
    steps.append("Prove dead with a meter at the place of work, against its own return.")
    return section("emergency", "Emergency shutdown and isolation", "emergency",
                   steps=steps, feeds=feeds)  # fmt: skip


def walk_round(unit: Unit) -> Section | None:
    """Zone by zone: what is fitted, where, what it does and when it is on."""
    lines = lines_of(unit)
    if not lines:
        return None
    plan, _, _ = placed(unit.job)
    fed = _fed(unit)
    photos = _photos_by_zone(unit)
    zones = [
        {
            "name": str(zone.label),
            "rows": [_walked(line, fed.get(line.pk, [])) for line in lines if line.zone == zone],
            "photos": photos.get(zone.value, []),
        }
        for zone in Zone
    ]
    return section(
        "walk-round",
        "Walk-round guide",
        "walk_round",
        drawings=[drawing(plan)] if plan else [],
        zones=[zone for zone in zones if zone["rows"]],
    )


def _fed(unit: Unit) -> dict[int, list[Circuit]]:
    found: dict[int, list[Circuit]] = {}
    circuits = unit.job.circuits.prefetch_related("loads", "duties__mode")
    for circuit in circuits:
        for load in circuit.loads.all():
            found.setdefault(load.line_id, []).append(circuit)
    return found


def _walked(line: BuildLine, circuits: Iterable[Circuit]) -> dict[str, str]:
    names = [f"{circuit.ref} {circuit.designation}" for circuit in circuits]
    modes: dict[str, None] = {}
    for circuit in circuits:
        modes |= {duty.mode.name: None for duty in circuit.duties.all() if duty.permille}
    use = f"On in: {', '.join(modes)}." if modes else "Used when asked for." if names else ""
    return {
        "ref": line.ref,
        "what": f"{line.quantity} × {line.part.description}",
        "where": place_of(line),
        "use": " ".join(filter(None, [line.note, use])) or "–",
        "circuit": ", ".join(names) or "–",
    }


def _photos_by_zone(unit: Unit) -> dict[str, Photos]:
    found: dict[str, Photos] = {}
    for place in _places(unit, Place.Kind.PART):
        found.setdefault(place.zone, []).extend(_photos(place))
    return found


def _places(unit: Unit, kind: str) -> list[Place]:
    query = unit.places.filter(kind=kind).order_by("ref")
    return list(query.prefetch_related("circuits", "photos__photo", "pins__circuit"))


def _photos(place: Place) -> Photos:
    """Photos of a place; what is shut behind trim now is said so."""
    hidden = " · hidden now" if place.hidden else ""
    return [
        {
            "sha256": item.photo.sha256,
            "alt": item.caption,
            "caption": f"{place.ref} · {item.caption}{hidden} · {item.taken_by}",
        }
        for item in place.photos.all()
    ]


def _where(place: Place) -> dict[str, Any]:
    return {
        "ref": place.ref,
        "name": place.name,
        "zone": str(place.get_zone_display()),
        "where": place.where,
        "hidden": place.hidden,
        "circuits": ", ".join(circuit.ref for circuit in place.circuits.all()) or "–",
        "note": place.note,
    }


def legends(built: AsBuilt) -> Section | None:
    panels = legend_panels(built.circuits)
    return section("legends", "Panel legends", "legends", panels=panels) if panels else None


def nodes(built: AsBuilt) -> Section | None:
    """Each node's channels in order: what hangs on them, with its device and its limit."""
    tables = []
    for node in built.unit.job.nodes.select_related("feed").order_by("ref"):
        rows = [
            {
                "channel": circuit.channel or "–",
                "circuit": circuit.label or circuit.ref,
                "what": circuit.designation,
                "conductor": f"{circuit.awg or '?'} {circuit.colour}".strip(),
                "device": amps(circuit.device_ma),
                "limit": amps(circuit.channel_limit_ma),
            }
            for circuit in sorted(built.circuits, key=_by_channel)
            if circuit.node_id == node.pk
        ]
        if rows:
            about = f"{node.ref}: {node.place or 'place not entered'}, feed {node.feed.ref}"
            limit = amps(node.module_limit_ma)
            tables.append({"about": about, "limit": limit, "rows": rows})
    return section("nodes", "Node channels", "nodes", tables=tables) if tables else None


def _by_channel(circuit: Circuit) -> tuple[int, str]:
    channel = circuit.channel
    return (int(channel), "") if channel.isdecimal() and len(channel) < 6 else (10**6, channel)


def pins(unit: Unit) -> Section | None:
    found = [
        _where(place)
        | {
            "pins": [
                {
                    "number": pin.number,
                    "circuit": pin.circuit.ref if pin.circuit else "–",
                    "function": pin.function,
                    "conductor": pin.conductor or "–",
                }
                for pin in place.pins.all()
            ]
        }
        for place in _places(unit, Place.Kind.CONNECTOR)
    ]
    return section("pins", "Connector pin tables", "pins", connectors=found) if found else None


def grounds(unit: Unit) -> Section | None:
    found = _places(unit, Place.Kind.GROUND)
    photos = [photo for place in found for photo in _photos(place)]
    rows = [_where(place) for place in found]
    return (
        section("grounds", "Ground points", "grounds", rows=rows, photos=photos) if rows else None
    )


def routes(unit: Unit) -> Section | None:
    """Where cables run, and how it looked before trim closed over them."""
    found = _places(unit, Place.Kind.ROUTE)
    photos = [photo for place in found for photo in _photos(place)]
    hidden = [place for place in _places(unit, Place.Kind.CONNECTOR) if place.hidden]
    photos += [photo for place in hidden for photo in _photos(place)]
    rows = [_where(place) for place in found]
    return (
        section("routes", "Cable routes and what is hidden now", "routes", rows=rows, photos=photos)
        if rows or photos
        else None
    )
