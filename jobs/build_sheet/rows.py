"""A job's design as bare values, read in a fixed number of queries.

Named tuples and not objects: an edit in place reads all of it each time. The field names are the
columns', so a row that is being edited can stand in for the one that was read.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import DEFAULT_DB_ALIAS

from catalog.models import CurrentDraw, RatingLimit
from jobs.build_sheet.models import (
    BuildLine,
    Circuit,
    CircuitLoad,
    Feed,
    ModeDuty,
    Node,
    OperatingMode,
    PassThrough,
    Supply,
)
from jobs.build_sheet.prepared import Prepared, model_of
from jobs.intake.models import Job, Unit

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
    "contact_limit_ma", "job_id", "colour", "note", "version",
)  # fmt: skip
SUPPLY = (
    "id", "ref", "name", "kind", "nominal_mv", "internal_resistance_uohm", "capacity_mah",
    "rating_ma", "peukert", "usable_percent", "cutoff_mv",
)  # fmt: skip
NODE = ("id", "ref", "feed_id", "place", "module_limit_ma", "line__part_id")
LOAD = (
    "id", "circuit_id", "line_id", "quantity", "function", "line__ref", "line__access",
    "line__zone", "line__ownership", "line__part_id", "line__part__description",
    "line__part__supply_min_mv", "line__part__drop_class",
)  # fmt: skip
DRAW = (
    "revision_id", "function", "load_model", "average_ma", "peak_ma", "standby_ua", "inrush_ma",
    "inrush_ms",
)  # fmt: skip
MODE = (
    "id", "key", "name", "source", "bus_mv", "chassis_base_ma", "allowance_ma", "inverter_w",
    "inverter_efficiency_percent", "asleep", "needed_minutes",
)  # fmt: skip


UNIT = (
    "alternator_rating_ma", "alternator_hot_idle_ma", "alternator_hot_high_idle_ma", "battery_mah",
    "keyoff_baseline_ua",
)  # fmt: skip
LINK = ("operatingmode_id", "feed__ref")
POWER = ("node_id", "circuit__ref")
OPENING = ("id", "ref", "name", "bore_mm")
DUTY = ("mode_id", "circuit_id", "permille")
LIMIT = ("revision_id", "what", "label", "limit_ma")


@dataclass(frozen=True, kw_only=True, slots=True)
class Rows:
    """Loads by circuit, draws and limits by part revision, links and duties by mode.

    Circuits that power a node by node; what goes through an opening by opening.
    """

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
    powers: dict[int, list[str]]
    openings: list[Any]
    feeds_through: dict[int, list[str]]
    circuits_through: dict[int, list[str]]
    first_unit: Any | None


SUPPLIES = Prepared(lambda job: Supply.objects.filter(job_id=job).order_by("ref"), SUPPLY)
FEEDS = Prepared(lambda job: Feed.objects.filter(job_id=job).order_by("ref"), FEED)
NODES = Prepared(lambda job: Node.objects.filter(job_id=job).order_by("ref"), NODE)
CIRCUITS = Prepared(lambda job: Circuit.objects.filter(job_id=job).order_by("ref"), CIRCUIT)
LOADS = Prepared(lambda job: CircuitLoad.objects.filter(circuit__job_id=job).order_by("id"), LOAD)
MODES = Prepared(
    lambda job: OperatingMode.objects.filter(job_id=job).order_by("position", "id"), MODE
)
DUTIES = Prepared(lambda job: ModeDuty.objects.filter(mode__job_id=job).order_by("id"), DUTY)
LINKS = Prepared(
    lambda job: OperatingMode.closed_links.through.objects.filter(
        operatingmode__job_id=job
    ).order_by("id"),
    LINK,
)
# Of every part on the job's build sheet.
DRAWS = Prepared(
    lambda job: CurrentDraw.objects.filter(
        revision__in=BuildLine.objects.filter(job_id=job).values("part_id")
    ).order_by("function", "colour", "id"),
    DRAW,
)
LIMITS = Prepared(
    lambda job: RatingLimit.objects.filter(
        revision__in=Node.objects.filter(job_id=job).values("line__part_id")
    ).order_by("id"),
    LIMIT,
)
POWERS = Prepared(
    lambda job: Circuit.powers.through.objects.filter(circuit__job_id=job).order_by("circuit__ref"),
    POWER,
)
OPENINGS = Prepared(lambda job: PassThrough.objects.filter(job_id=job).order_by("ref"), OPENING)
FEEDS_THROUGH = Prepared(
    lambda job: PassThrough.feeds.through.objects.filter(passthrough__job_id=job).order_by(
        "feed__ref"
    ),
    ("passthrough_id", "feed__ref"),
)
CIRCUITS_THROUGH = Prepared(
    lambda job: PassThrough.circuits.through.objects.filter(passthrough__job_id=job).order_by(
        "circuit__ref"
    ),
    ("passthrough_id", "circuit__ref"),
)
JOBS = Prepared(
    lambda number: Job.objects.filter(number=number),
    tuple(f.attname for f in Job._meta.concrete_fields if f.attname != "created_at"),
)
UNITS = Prepared(lambda job: Unit.objects.filter(job_id=job).order_by("id"), UNIT)


def job_by(number: str) -> Job | None:
    row = next(iter(JOBS.of(number)), None)
    return None if row is None else model_of(Job, row)


def rows_of(job: Job) -> Rows:
    key = job.pk
    return Rows(
        supplies=SUPPLIES.of(key),
        feeds=FEEDS.of(key),
        nodes=NODES.of(key),
        circuits=CIRCUITS.of(key),
        loads=_by(LOADS.of(key), "circuit_id"),
        draws=_by(DRAWS.of(key), "revision_id"),
        limits=_by(LIMITS.of(key), "revision_id"),
        modes=MODES.of(key),
        links=_grouped(LINKS.of(key)),
        duties=_grouped((mode, (circuit, share)) for mode, circuit, share in DUTIES.of(key)),
        powers=_grouped(POWERS.of(key)),
        openings=OPENINGS.of(key),
        feeds_through=_grouped(FEEDS_THROUGH.of(key)),
        circuits_through=_grouped(CIRCUITS_THROUGH.of(key)),
        first_unit=next(iter(UNITS.of(key)), None),
    )


def circuit_in(rows: Rows, key: int) -> Circuit | None:
    """The circuit itself, from what is read already, with its feed and node by their names."""
    row = next((row for row in rows.circuits if row.id == key), None)
    if row is None:
        return None
    circuit = model_of(Circuit, row)
    circuit.feed = _named(Feed, rows.feeds, row.feed_id)
    circuit.node = None if row.node_id is None else _named(Node, rows.nodes, row.node_id)
    return circuit


def _named(model: type[Feed] | type[Node], rows: list[Any], key: int) -> Any:
    """Another field than these two is fetched when somebody asks for it."""
    ref = next(row.ref for row in rows if row.id == key)
    return model.from_db(DEFAULT_DB_ALIAS, ["id", "ref"], [key, ref])


def _by(rows: list[Any], name: str) -> dict[int, list[Any]]:
    return _grouped((getattr(row, name), row) for row in rows)


def _grouped(pairs: Iterable[tuple[int, Any]]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = defaultdict(list)
    for key, value in pairs:
        found[key].append(value)
    return found
