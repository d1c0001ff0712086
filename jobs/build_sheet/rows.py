"""A job's design rows, read once in a fixed number of queries and without joins that repeat."""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Prefetch

from catalog.models import CurrentDraw
from jobs.build_sheet.models import (
    Circuit,
    CircuitLoad,
    Feed,
    ModeDuty,
    Node,
    OperatingMode,
    Supply,
)
from jobs.intake.models import Job

_DRAWS = CurrentDraw.objects.order_by("function", "colour", "id")
DRAWS = Prefetch("line__part__draws", queryset=_DRAWS)
LOADS = Prefetch("loads", queryset=CircuitLoad.objects.select_related("line__part").order_by("id"))
LOAD_DRAWS = Prefetch("loads__line__part__draws", queryset=_DRAWS)


@dataclass(frozen=True, kw_only=True, slots=True)
class Rows:
    """Foreign keys among the rows point at the very objects in these lists; loads are read."""

    supplies: list[Supply]
    feeds: list[Feed]
    nodes: list[Node]
    circuits: list[Circuit]
    modes: list[OperatingMode]
    # Circuit and share in thousandths, by mode.
    duties: dict[int, list[tuple[int, int]]]


def rows_of(job: Job) -> Rows:
    supplies = list(job.supplies.all())
    feeds = list(job.feeds.all())
    nodes = list(
        job.nodes.select_related("line__part").prefetch_related("line__part__limits", DRAWS)
    )
    circuits = list(job.circuits.prefetch_related(LOADS, LOAD_DRAWS))
    _point(feeds, "supply", supplies)
    _point(feeds, "second_supply", supplies)
    _point(nodes, "feed", feeds)
    _point(circuits, "feed", feeds)
    _point(circuits, "node", nodes)
    modes = list(job.modes.prefetch_related("closed_links"))
    return Rows(
        supplies=supplies,
        feeds=feeds,
        nodes=nodes,
        circuits=circuits,
        modes=modes,
        duties=_duties(job),
    )


def _point(rows: list, name: str, targets: list) -> None:  # type: ignore[type-arg]
    """Fill a foreign key from rows that are read already."""
    by_key = {target.pk: target for target in targets}
    for row in rows:
        key = getattr(row, f"{name}_id")
        if key is not None:
            setattr(row, name, by_key[key])


def _duties(job: Job) -> dict[int, list[tuple[int, int]]]:
    """Read as bare values: there are more of them than of anything else."""
    found: dict[int, list[tuple[int, int]]] = defaultdict(list)
    rows = ModeDuty.objects.filter(mode__job=job).order_by("id")
    for mode, circuit, permille in rows.values_list("mode_id", "circuit_id", "permille"):
        found[mode].append((circuit, permille))
    return found
