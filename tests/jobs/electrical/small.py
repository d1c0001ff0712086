"""The smallest designs that a rule can look at, and how to find its answer."""

from dataclasses import fields, replace
from typing import Any

from jobs.electrical.check import check
from jobs.electrical.design import (
    Circuit,
    Design,
    DeviceKind,
    Duty,
    Feed,
    Load,
    Mode,
    ModeSource,
    Owner,
    Supply,
    SupplyKind,
    UnitRatings,
)
from jobs.findings import Finding, Severity

FOOT_M = 0.3048
INCH_M = 0.0254


def small(
    *,
    feed: dict[str, Any] | None = None,
    circuit: dict[str, Any] | None = None,
    load: dict[str, Any] | None = None,
    supply: dict[str, Any] | None = None,
    mode: dict[str, Any] | None = None,
    unit: dict[str, Any] | None = None,
    **design: Any,
) -> Design:
    """One supply, one feed, one circuit with one 5 A load, one mode: everything passes."""
    base = Design(
        unit=UnitRatings(
            **{
                "alternator_hot_idle_a": 100.0,
                "alternator_hot_high_idle_a": 150.0,
                "battery_ah": 100.0,
                "keyoff_baseline_a": 0.02,
                **(unit or {}),
            }
        ),
        supplies=(
            Supply(
                **{
                    "ref": "MAIN",
                    "kind": SupplyKind.BATTERY,
                    "nominal_v": 12.0,
                    "capacity_ah": 100.0,
                    **(supply or {}),
                }
            ),
        ),
        feeds=(
            Feed(
                **{
                    "ref": "A",
                    "supply": "MAIN",
                    "device_kind": DeviceKind.FUSE_BOLT,
                    "device_a": 100.0,
                    "awg": "2",
                    "length_m": 10 * FOOT_M,
                    "source_distance_m": 6 * INCH_M,
                    **(feed or {}),
                }
            ),
        ),
        circuits=(
            Circuit(
                **{
                    "ref": "A-01",
                    "feed": "A",
                    "label": "A-01",
                    "device_kind": DeviceKind.FUSE_BLADE,
                    "device_a": 10.0,
                    "awg": "14",
                    "length_m": 10 * FOOT_M,
                    "loads": (
                        Load(
                            **{
                                "ref": "L01",
                                "name": "Lamp",
                                "place": "Roof",
                                "owner": Owner.SHOP,
                                "average_a": 5.0,
                                "peak_a": 5.0,
                                "supply_min_v": 10.0,
                                **(load or {}),
                            }
                        ),
                    ),
                    **(circuit or {}),
                }
            ),
        ),
        modes=(
            Mode(
                **{
                    "key": "on",
                    "source": ModeSource.IDLE,
                    "bus_v": 13.0,
                    "duty": (Duty(circuit="A-01"),),
                    **(mode or {}),
                }
            ),
        ),
    )
    return replace(base, **design)


def linked(**feed: Any) -> Design:
    """A link between two batteries, protected at both ends."""
    ends = {
        "second_supply": "AUX",
        "second_device_a": 100.0,
        "second_distance_m": 6 * INCH_M,
        **feed,
    }
    design = small(feed=ends)
    aux = Supply(ref="AUX", kind=SupplyKind.BATTERY, nominal_v=12.0)
    return replace(design, supplies=(*design.supplies, aux))


def add_circuit(design: Design, ref: str, **changes: Any) -> Design:
    """Another circuit like the first, off in every mode."""
    first = design.circuits[0]
    return replace(design, circuits=(*design.circuits, replace(first, ref=ref, **changes)))


def answers(design: Design, rule: str, subject: str | None = None) -> list[Finding]:
    return [
        item
        for item in check(design)
        if item.rule == rule and (subject is None or item.subject == subject)
    ]


def answer(design: Design, rule: str, subject: str = "A-01") -> Finding:
    """The one finding of a rule about a subject."""
    found = answers(design, rule, subject)
    assert len(found) == 1, f"{len(found)} findings of {rule} about {subject}"
    return found[0]


def verdict(design: Design, rule: str, subject: str = "A-01") -> Severity:
    return answer(design, rule, subject).severity


def same_without(thing: Any, name: str) -> Any:
    """A frozen value with one field emptied."""
    assert name in {item.name for item in fields(thing)}
    return replace(thing, **{name: None})
