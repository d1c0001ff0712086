"""A job's design as bare values, read in a fixed number of queries.

Named tuples and not objects: an edit in place reads all of it each time. The field names are the
columns', so a row that is being edited can stand in for the one that was read.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet

from catalog.models import CurrentDraw, RatingLimit
from jobs.build_sheet.models import Circuit, CircuitLoad, Feed, ModeDuty, OperatingMode
from jobs.intake.models import Job

CONDUCTOR = (
    "id", "ref", "device_kind", "device_ma", "awg", "insulation_c", "length_mm", "return_path",
    "engine_space", "bundle_count", "sheathed",
)  # fmt: skip
FEED = (
    *CONDUCTOR, "name", "supply_id", "second_supply_id", "source_distance_mm", "cranking",
    "panel_limit_ma",
)  # fmt: skip
CIRCUIT = (
    *CONDUCTOR, "feed_id", "designation", "node_id", "channel", "channel_limit_ma", "intermittent",
    "whole_feed", "drop_limit_percent", "through_average_ma", "through_peak_ma", "label",
)  # fmt: skip
SUPPLY = (
    "id", "ref", "name", "kind", "nominal_mv", "internal_resistance_uohm", "capacity_mah",
    "rating_ma", "peukert", "usable_percent", "cutoff_mv",
)  # fmt: skip
NODE = ("id", "ref", "feed_id", "place", "module_limit_ma", "line__part_id")
LOAD = (
    "id", "circuit_id", "line_id", "quantity", "function", "line__ref", "line__access",
    "line__zone", "line__part_id", "line__part__description", "line__part__supply_min_mv",
    "line__part__drop_class",
)  # fmt: skip
DRAW = (
    "revision_id", "function", "load_model", "average_ma", "peak_ma", "standby_ua", "inrush_ma",
    "inrush_ms",
)  # fmt: skip
MODE = (
    "id", "key", "name", "source", "bus_mv", "chassis_base_ma", "allowance_ma", "inverter_w",
    "inverter_efficiency_percent", "asleep", "needed_minutes",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Rows:
    """Loads by circuit, draws and limits by part revision, links and duties by mode."""

    supplies: list[Any]
    feeds: list[Any]
    nodes: list[Any]
    circuits: list[Any]
    loads: dict[int, list[Any]]
    draws: dict[int, list[Any]]
    limits: dict[int, list[Any]]
    modes: list[Any]
    links: dict[int, list[str]]
    # Circuit and share in thousandths.
    duties: dict[int, list[tuple[int, int]]]


def rows_of(job: Job) -> Rows:
    loads = _bare(CircuitLoad.objects.filter(circuit__job=job).order_by("id"), LOAD)
    nodes = _bare(job.nodes.order_by("ref"), NODE)
    node_parts = {node.line__part_id for node in nodes if node.line__part_id}
    parts = node_parts | {load.line__part_id for load in loads}
    draws = CurrentDraw.objects.filter(revision__in=parts).order_by("function", "colour", "id")
    limits = RatingLimit.objects.filter(revision__in=node_parts).order_by("id")
    links = OperatingMode.closed_links.through.objects.filter(operatingmode__job=job)
    duties = ModeDuty.objects.filter(mode__job=job).order_by("id")
    return Rows(
        supplies=_bare(job.supplies.order_by("ref"), SUPPLY),
        feeds=_bare(Feed.objects.filter(job=job).order_by("ref"), FEED),
        nodes=nodes,
        circuits=_bare(Circuit.objects.filter(job=job).order_by("ref"), CIRCUIT),
        loads=_by(loads, "circuit_id"),
        draws=_by(_bare(draws, DRAW), "revision_id"),
        limits=_by(_bare(limits, ("revision_id", "what", "label", "limit_ma")), "revision_id"),
        modes=_bare(job.modes.order_by("position", "id"), MODE),
        links=_grouped(links.order_by("id").values_list("operatingmode_id", "feed__ref")),
        duties=_grouped(
            (mode, (circuit, permille))
            for mode, circuit, permille in duties.values_list("mode_id", "circuit_id", "permille")
        ),
    )


def _bare(rows: QuerySet[Any], names: tuple[str, ...]) -> list[Any]:
    return list(rows.values_list(*names, named=True))


def _by(rows: list[Any], name: str) -> dict[int, list[Any]]:
    return _grouped((getattr(row, name), row) for row in rows)


def _grouped(pairs: Iterable[tuple[int, Any]]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for key, value in pairs:
        found[key].append(value)
    return found
