"""The wiring as it was on release, kept whole, and read back as rows that are never saved."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.core import serializers
from django.db.models import Model, QuerySet

from catalog.models import PartRevision
from inspections.as_built.models import AsReleased
from inspections.release.actions import RELEASED
from jobs.build_sheet.design import design_of
from jobs.electrical.design import Design
from jobs.electrical.design_json import from_json, to_json
from jobs.electrical.input_check import DesignError
from jobs.models import BuildLine, Circuit, CircuitLoad, Feed, Node, Supply, Unit

# In this order each kind stands behind the kinds that it points at.
KINDS = (Supply, BuildLine, Feed, Node, Circuit, CircuitLoad)


@dataclass(frozen=True, slots=True, kw_only=True)
class Snapshot:
    """`design` is None when it cannot be calculated with."""

    feeds: list[Feed]
    circuits: list[Circuit]
    design: Design | None
    design_revision: int | None


def keep_as_released(unit: Unit) -> None:
    """Keep every row of the wiring and the design that is calculated with."""
    job = unit.job
    rows: list[Model] = [
        *job.supplies.all(),
        *job.lines.all(),
        *job.feeds.all(),
        *job.nodes.all(),
        *job.circuits.all(),
        *CircuitLoad.objects.filter(circuit__job=job),
    ]
    revision = job.design_revisions.exclude(released_at=None).order_by("number").last()
    AsReleased.objects.create(
        unit=unit,
        data={
            "rows": json.loads(serializers.serialize("json", rows)),
            "design": to_json(design_of(job, unit=unit)),
        },
        design_revision=revision.number if revision else None,
    )


RELEASED.append(keep_as_released)


def released(unit: Unit) -> Snapshot | None:
    """What was kept; None before the release."""
    kept = AsReleased.objects.filter(unit=unit).first()
    if kept is None:
        return None
    try:
        design = from_json(kept.data["design"])
    except DesignError:
        design = None
    feeds, circuits = _wiring(kept.data["rows"])
    return Snapshot(
        feeds=feeds, circuits=circuits, design=design, design_revision=kept.design_revision
    )


def _wiring(rows: Iterable[Any]) -> tuple[list[Feed], list[Circuit]]:
    """Feeds and circuits in order, each joined to supply, node, loads and parts as they were."""
    found: dict[type[Model], dict[int, Any]] = {kind: {} for kind in KINDS}
    for one in serializers.deserialize("python", rows, ignorenonexistent=True):
        found[type(one.object)][one.object.pk] = one.object
    _join_parts(found[BuildLine].values())
    for feed in found[Feed].values():
        feed.supply = found[Supply][feed.supply_id]
        feed.second_supply = found[Supply].get(feed.second_supply_id)
    for node in found[Node].values():
        node.feed = found[Feed][node.feed_id]
    loads: dict[int, list[CircuitLoad]] = {}
    for load in found[CircuitLoad].values():
        load.line = found[BuildLine][load.line_id]
        loads.setdefault(load.circuit_id, []).append(load)
    for circuit in found[Circuit].values():
        circuit.feed = found[Feed][circuit.feed_id]
        circuit.node = found[Node].get(circuit.node_id)
        own = loads.get(circuit.pk, [])
        circuit._prefetched_objects_cache = {"loads": _filled(CircuitLoad.objects.all(), own)}
    feeds, circuits = (
        sorted(found[kind].values(), key=lambda row: str(row.ref)) for kind in (Feed, Circuit)
    )
    return feeds, circuits


def _filled(query: QuerySet[Any], rows: list[Any]) -> QuerySet[Any]:
    """A query that is answered already, as prefetching leaves one behind."""
    query._result_cache = rows
    query._prefetch_done = True  # type: ignore[attr-defined]
    return query


def _join_parts(lines: Iterable[BuildLine]) -> None:
    """Revisions of parts never change, so those of today are those of then."""
    lines = list(lines)
    revisions = PartRevision.objects.select_related("part").in_bulk({one.part_id for one in lines})
    for line in lines:
        line.part = revisions[line.part_id]
