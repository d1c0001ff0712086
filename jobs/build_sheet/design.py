"""The one door from rows to the electrical calculation: a fixed number of queries in, a frozen
design out. Rows keep mA, mm and mV; the calculation wants A, m and V."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from catalog.models import RatingLimit
from jobs.build_sheet.ac_design import ac_side_of
from jobs.build_sheet.models import Zone
from jobs.build_sheet.rows import Rows, rows_of
from jobs.electrical import design as e
from jobs.intake.models import Job, Unit

Refs = dict[int | None, str]
ZONES = dict(Zone.choices)
LONGEST_CHANNEL = 3  # digits


def _milli(value: int | None) -> float | None:
    return None if value is None else value / 1000


def _micro(value: int | None) -> float | None:
    return None if value is None else value / 1_000_000


def _metres(mm: Decimal | None) -> float | None:
    return None if mm is None else float(mm) / 1000


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
        circuits=tuple(_circuit(row, rows, feeds, nodes) for row in rows.circuits),
        modes=tuple(_mode(row, rows, circuits) for row in rows.modes),
        pass_throughs=tuple(_opening(row, rows) for row in rows.openings),
        ac=ac_side_of(job),
    )


def _refs(rows: Iterable[Any]) -> Refs:
    return {row.id: row.ref for row in rows}


def _ratings(unit: Any | None) -> e.UnitRatings:
    if unit is None:
        return e.UnitRatings()
    return e.UnitRatings(
        alternator_rating_a=_milli(unit.alternator_rating_ma),
        alternator_hot_idle_a=_milli(unit.alternator_hot_idle_ma),
        alternator_hot_high_idle_a=_milli(unit.alternator_hot_high_idle_ma),
        battery_ah=_milli(unit.battery_mah),
        keyoff_baseline_a=_micro(unit.keyoff_baseline_ua),
    )


def _supply(row: Any) -> e.Supply:
    return e.Supply(
        ref=row.ref,
        name=row.name,
        kind=e.SupplyKind(row.kind),
        nominal_v=row.nominal_mv / 1000,
        internal_resistance_ohm=row.internal_resistance_uohm / 1_000_000,
        capacity_ah=_milli(row.capacity_mah),
        rating_a=_milli(row.rating_ma),
        peukert=float(row.peukert),
        usable_fraction=row.usable_percent / 100,
        cutoff_v=_milli(row.cutoff_mv),
    )


def _conductor(row: Any) -> dict[str, object]:
    return {
        "ref": row.ref,
        "device_kind": e.DeviceKind(row.device_kind),
        "device_a": _milli(row.device_ma),
        "awg": row.awg or None,
        "insulation_c": row.insulation_c,
        "length_m": _metres(row.length_mm),
        "return_path": e.ReturnPath(row.return_path),
        "engine_space": bool(row.engine_space),
        "bundle_count": row.bundle_count,
        "sheathed": bool(row.sheathed),
    }


def _feed(row: Any, supplies: Refs) -> e.Feed:
    distance = _metres(row.source_distance_mm)
    return e.Feed(
        **_conductor(row),  # type: ignore[arg-type]
        name=row.name,
        supply=supplies[row.supply_id],
        second_supply=supplies.get(row.second_supply_id),
        source_distance_m=distance,
        # A link carries the same device at both ends (jobs/build_sheet/models.py).
        second_device_a=_milli(row.device_ma) if row.second_supply_id else None,
        second_distance_m=distance if row.second_supply_id else None,
        cranking=bool(row.cranking),
        panel_limit_a=_milli(row.panel_limit_ma),
    )


def _node(row: Any, rows: Rows, feeds: Refs) -> e.Node:
    limits = rows.limits.get(row.line__part_id, [])
    standby = [draw.standby_ua for draw in rows.draws.get(row.line__part_id, [])]
    known = [value for value in standby if value is not None]
    return e.Node(
        ref=row.ref,
        feed=feeds[row.feed_id],
        place=row.place,
        module_limit_a=_milli(row.module_limit_ma),
        groups=tuple(
            e.ChannelGroup(
                label=limit.label, channels=_span(limit.label), limit_a=limit.limit_ma / 1000
            )
            for limit in limits
            if limit.what == RatingLimit.What.GROUP
        ),
        sleep_a=_micro(max(known)) if known else None,
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
    return _circuit(row, rows, _refs(rows.feeds), _refs(rows.nodes))


def _circuit(row: Any, rows: Rows, feeds: Refs, nodes: Refs) -> e.Circuit:
    return e.Circuit(
        **_conductor(row),  # type: ignore[arg-type]
        feed=feeds[row.feed_id],
        designation=row.designation,
        node=nodes.get(row.node_id),
        channel=row.channel,
        channel_limit_a=_milli(row.channel_limit_ma),
        contact_limit_a=_milli(row.contact_limit_ma),
        intermittent=bool(row.intermittent),
        whole_feed=bool(row.whole_feed),
        drop_limit_percent=float(row.drop_limit_percent) if row.drop_limit_percent else None,
        through_average_a=row.through_average_ma / 1000,
        through_peak_a=row.through_peak_ma / 1000,
        label=row.label or row.ref,
        loads=tuple(load_of(load, rows) for load in rows.loads.get(row.id, [])),
    )


def load_of(row: Any, rows: Rows) -> e.Load:
    drawn = rows.draws.get(row.line__part_id, [])
    draws = [draw for draw in drawn if draw.function == row.function]
    average, peak = (
        _worst(draws, "average_ma", all_known=True),
        _worst(draws, "peak_ma", all_known=True),
    )
    return e.Load(
        ref=row.line__ref,
        name=row.line__part__description,
        place=row.line__access or ZONES.get(row.line__zone, row.line__zone),
        quantity=row.quantity,
        model=_model(draws),
        average_a=_milli(average),
        peak_a=_milli(peak),
        standby_a=_micro(_worst(draws, "standby_ua")),
        inrush_a=_milli(_worst(draws, "inrush_ma")),
        inrush_s=_milli(_worst(draws, "inrush_ms")),
        supply_min_v=_milli(row.line__part__supply_min_mv),
        drop_class=row.line__part__drop_class,
    )


def _worst(draws: Sequence[Any], field: str, *, all_known: bool = False) -> int | None:
    """The largest value over the colours of one function: a head shows one colour at a time.

    With `all_known`, one colour without a value makes the answer unknown: it could be the largest.
    """
    values = [getattr(draw, field) for draw in draws]
    known = [value for value in values if value is not None]
    if not known or (all_known and len(known) < len(values)):
        return None
    return max(known)


def _model(draws: Sequence[Any]) -> e.LoadModel:
    """How the load answers a lower voltage; of several colours the hardest on the supply."""
    models = {draw.load_model for draw in draws}
    order = (e.LoadModel.POWER, e.LoadModel.CURRENT, e.LoadModel.RESISTANCE)
    return next((model for model in order if model in models), e.LoadModel.CURRENT)


def _opening(row: Any, rows: Rows) -> e.PassThrough:
    return e.PassThrough(
        ref=row.ref,
        name=row.name,
        bore_m=_metres(row.bore_mm),
        through_feeds=tuple(rows.feeds_through.get(row.id, [])),
        through_circuits=tuple(rows.circuits_through.get(row.id, [])),
    )


def _mode(row: Any, rows: Rows, circuits: Refs) -> e.Mode:
    return e.Mode(
        key=row.key,
        name=row.name,
        source=e.ModeSource(row.source),
        bus_v=row.bus_mv / 1000,
        chassis_base_a=row.chassis_base_ma / 1000,
        allowance_a=row.allowance_ma / 1000,
        inverter_w=float(row.inverter_w),
        inverter_efficiency=row.inverter_efficiency_percent / 100,
        asleep=bool(row.asleep),
        needed_s=None if row.needed_minutes is None else 60.0 * row.needed_minutes,
        closed_links=tuple(rows.links.get(row.id, [])),
        duty=tuple(
            e.Duty(circuit=circuits[circuit], fraction=permille / 1000)
            for circuit, permille in rows.duties.get(row.id, [])
        ),
    )
