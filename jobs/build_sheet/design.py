"""The one door from rows to the electrical calculation: a fixed number of queries in, a frozen
design out. Rows keep mA, mm and mV; the calculation wants A, m and V."""

from collections.abc import Iterable
from typing import Any

from catalog.models import RatingLimit
from jobs.build_sheet.ac_design import ac_side_of
from jobs.build_sheet.design_parts import (
    circuit_from,
    conductor_facts,
    kept_circuit,
    load_from,
    load_rows,
    metres,
    micro,
    milli,
    mode_from,
)
from jobs.build_sheet.rows import Rows, rows_of
from jobs.electrical import design as e
from jobs.intake.models import Job, Unit

Refs = dict[int | None, str]
LONGEST_CHANNEL = 3  # digits


def design_of(job: Job, *, unit: Unit | None = None) -> e.Design:
    """The job's electrical design as it stands, with one unit's ratings (default: the first)."""
    return design_from(rows_of(job), job, unit=unit)


def design_from(rows: Rows, job: Job, *, unit: Unit | None = None) -> e.Design:
    """The same from rows that are read already."""
    supplies, feeds, nodes = _refs(rows.supplies), _refs(rows.feeds), _refs(rows.nodes)
    circuits = _refs(rows.circuits)
    return e.Design(
        name=job.number,
        rule_set=job.rule_set,
        unit=_ratings(unit or rows.first_unit),
        supplies=tuple(_supply(row) for row in rows.supplies),
        feeds=tuple(_feed(row, supplies) for row in rows.feeds),
        nodes=tuple(_node(row, rows, feeds) for row in rows.nodes),
        circuits=tuple(
            kept_circuit(row, feeds[row.feed_id], nodes.get(row.node_id), load_rows(row, rows))
            for row in rows.circuits
        ),
        modes=tuple(
            mode_from(
                row,
                tuple(rows.links.get(row.id, ())),
                tuple((circuits[key], share) for key, share in rows.duties.get(row.id, ())),
            )
            for row in rows.modes
        ),
        pass_throughs=tuple(_opening(row, rows) for row in rows.openings),
        ac=ac_side_of(job),
    )


def _refs(rows: Iterable[Any]) -> Refs:
    return {row.id: row.ref for row in rows}


def _ratings(unit: Any | None) -> e.UnitRatings:
    if unit is None:
        return e.UnitRatings()
    return e.UnitRatings(
        alternator_rating_a=milli(unit.alternator_rating_ma),
        alternator_hot_idle_a=milli(unit.alternator_hot_idle_ma),
        alternator_hot_high_idle_a=milli(unit.alternator_hot_high_idle_ma),
        battery_ah=milli(unit.battery_mah),
        keyoff_baseline_a=micro(unit.keyoff_baseline_ua),
    )


def _supply(row: Any) -> e.Supply:
    return e.Supply(
        ref=row.ref,
        name=row.name,
        kind=e.SupplyKind(row.kind),
        nominal_v=row.nominal_mv / 1000,
        internal_resistance_ohm=row.internal_resistance_uohm / 1_000_000,
        capacity_ah=milli(row.capacity_mah),
        rating_a=milli(row.rating_ma),
        peukert=float(row.peukert),
        usable_fraction=row.usable_percent / 100,
        cutoff_v=milli(row.cutoff_mv),
    )


def _feed(row: Any, supplies: Refs) -> e.Feed:
    distance = metres(row.source_distance_mm)
    return e.Feed(
        **conductor_facts(row),  # type: ignore[arg-type]
        name=row.name,
        supply=supplies[row.supply_id],
        second_supply=supplies.get(row.second_supply_id),
        source_distance_m=distance,
        # A link carries the same device at both ends (jobs/build_sheet/models.py).
        second_device_a=milli(row.device_ma) if row.second_supply_id else None,
        second_distance_m=distance if row.second_supply_id else None,
        cranking=bool(row.cranking),
        panel_limit_a=milli(row.panel_limit_ma),
    )


def _node(row: Any, rows: Rows, feeds: Refs) -> e.Node:
    limits = rows.limits.get(row.line__part_id, [])
    standby = [draw.standby_ua for draw in rows.draws.get(row.line__part_id, [])]
    known = [value for value in standby if value is not None]
    return e.Node(
        ref=row.ref,
        feed=feeds[row.feed_id],
        place=row.place,
        module_limit_a=milli(row.module_limit_ma),
        groups=tuple(
            e.ChannelGroup(
                label=limit.label, channels=_span(limit.label), limit_a=limit.limit_ma / 1000
            )
            for limit in limits
            if limit.what == RatingLimit.What.GROUP
        ),
        sleep_a=micro(max(known)) if known else None,
        powered_by=tuple(rows.powers.get(row.id, [])),
    )


def _span(label: str) -> tuple[str, ...]:
    """'1 to 4' as ('1', '2', '3', '4'); anything else, and what no module has, as itself."""
    first, _, last = label.partition(" to ")
    if first.isdecimal() and last.isdecimal() and len(last) <= LONGEST_CHANNEL:
        return tuple(str(number) for number in range(int(first), int(last) + 1))
    return (label,)


def circuit_of(row: Any, rows: Rows) -> e.Circuit:
    """A circuit as it was read, or as a form has changed it, with the loads that were read."""
    feeds, nodes = _refs(rows.feeds), _refs(rows.nodes)
    return circuit_from(row, feeds[row.feed_id], nodes.get(row.node_id), load_rows(row, rows))


def load_of(row: Any, rows: Rows) -> e.Load:
    return load_from(row, tuple(rows.draws.get(row.line__part_id, ())))


def _opening(row: Any, rows: Rows) -> e.PassThrough:
    return e.PassThrough(
        ref=row.ref,
        name=row.name,
        bore_m=metres(row.bore_mm),
        through_feeds=tuple(rows.feeds_through.get(row.id, [])),
        through_circuits=tuple(rows.circuits_through.get(row.id, [])),
    )
