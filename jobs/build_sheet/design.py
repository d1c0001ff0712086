"""The one door from rows to the electrical calculation: a fixed number of queries in, a frozen
design out. Rows keep mA, mm and mV; the calculation wants A, m and V."""

from collections.abc import Sequence
from decimal import Decimal

from catalog.models import CurrentDraw, RatingLimit
from jobs.build_sheet.ac_design import ac_side_of
from jobs.build_sheet.models import (
    Circuit,
    CircuitLoad,
    Feed,
    Node,
    OperatingMode,
    Supply,
)
from jobs.build_sheet.rows import Rows, rows_of
from jobs.electrical import design as e
from jobs.intake.models import Job, Unit


def _milli(value: int | None) -> float | None:
    return None if value is None else value / 1000


def _micro(value: int | None) -> float | None:
    return None if value is None else value / 1_000_000


def _metres(mm: Decimal | None) -> float | None:
    return None if mm is None else float(mm) / 1000


def design_of(job: Job, *, unit: Unit | None = None) -> e.Design:
    """The job's electrical design as it stands, with one unit's ratings (default: the first)."""
    return design_from(rows_of(job), job, unit=unit or job.units.order_by("id").first())


def design_from(rows: Rows, job: Job, *, unit: Unit | None) -> e.Design:
    """The same from rows that are read already."""
    refs = {circuit.pk: circuit.ref for circuit in rows.circuits}
    return e.Design(
        name=job.number,
        rule_set=job.rule_set,
        unit=_ratings(unit),
        supplies=tuple(_supply(row) for row in rows.supplies),
        feeds=tuple(_feed(row) for row in rows.feeds),
        nodes=tuple(_node(row) for row in rows.nodes),
        circuits=tuple(circuit_of(row) for row in rows.circuits),
        modes=tuple(_mode(row, rows.duties.get(row.pk, []), refs) for row in rows.modes),
        ac=ac_side_of(job),
    )


def _ratings(unit: Unit | None) -> e.UnitRatings:
    if unit is None:
        return e.UnitRatings()
    return e.UnitRatings(
        alternator_rating_a=_milli(unit.alternator_rating_ma),
        alternator_hot_idle_a=_milli(unit.alternator_hot_idle_ma),
        alternator_hot_high_idle_a=_milli(unit.alternator_hot_high_idle_ma),
        battery_ah=_milli(unit.battery_mah),
        keyoff_baseline_a=_micro(unit.keyoff_baseline_ua),
    )


def _supply(row: Supply) -> e.Supply:
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


def _conductor(row: Feed | Circuit) -> dict[str, object]:
    return {
        "ref": row.ref,
        "device_kind": e.DeviceKind(row.device_kind),
        "device_a": _milli(row.device_ma),
        "awg": row.awg or None,
        "insulation_c": row.insulation_c,
        "length_m": _metres(row.length_mm),
        "return_path": e.ReturnPath(row.return_path),
        "engine_space": row.engine_space,
        "bundle_count": row.bundle_count,
        "sheathed": row.sheathed,
    }


def _feed(row: Feed) -> e.Feed:
    distance = _metres(row.source_distance_mm)
    return e.Feed(
        **_conductor(row),  # type: ignore[arg-type]
        name=row.name,
        supply=row.supply.ref,
        second_supply=row.second_supply.ref if row.second_supply else None,
        source_distance_m=distance,
        # A link carries the same device at both ends (jobs/build_sheet/models.py).
        second_device_a=_milli(row.device_ma) if row.second_supply else None,
        second_distance_m=distance if row.second_supply else None,
        cranking=row.cranking,
        panel_limit_a=_milli(row.panel_limit_ma),
    )


def _node(row: Node) -> e.Node:
    limits = row.line.part.limits.all() if row.line else []
    standby = [draw.standby_ua for draw in row.line.part.draws.all()] if row.line else []
    known = [value for value in standby if value is not None]
    return e.Node(
        ref=row.ref,
        feed=row.feed.ref,
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
    )


def _span(label: str) -> tuple[str, ...]:
    """'1 to 4' as ('1', '2', '3', '4'); anything else as itself."""
    first, _, last = label.partition(" to ")
    if first.isdigit() and last.isdigit():
        return tuple(str(number) for number in range(int(first), int(last) + 1))
    return (label,)


def circuit_of(row: Circuit) -> e.Circuit:
    return e.Circuit(
        **_conductor(row),  # type: ignore[arg-type]
        feed=row.feed.ref,
        designation=row.designation,
        node=row.node.ref if row.node else None,
        channel=row.channel,
        channel_limit_a=_milli(row.channel_limit_ma),
        intermittent=row.intermittent,
        whole_feed=row.whole_feed,
        drop_limit_percent=float(row.drop_limit_percent) if row.drop_limit_percent else None,
        through_average_a=row.through_average_ma / 1000,
        through_peak_a=row.through_peak_ma / 1000,
        label=row.label or row.ref,
        loads=tuple(load_of(load) for load in row.loads.all()),
    )


def load_of(row: CircuitLoad) -> e.Load:
    part = row.line.part
    draws = [draw for draw in part.draws.all() if draw.function == row.function]
    average, peak = (
        _worst(draws, "average_ma", all_known=True),
        _worst(draws, "peak_ma", all_known=True),
    )
    return e.Load(
        ref=row.line.ref,
        name=part.description,
        place=row.line.access or row.line.get_zone_display(),
        quantity=row.quantity,
        model=_model(draws),
        average_a=_milli(average),
        peak_a=_milli(peak),
        standby_a=_micro(_worst(draws, "standby_ua")),
        inrush_a=_milli(_worst(draws, "inrush_ma")),
        inrush_s=_milli(_worst(draws, "inrush_ms")),
        supply_min_v=_milli(part.supply_min_mv),
        drop_class=part.drop_class,
    )


def _worst(draws: Sequence[CurrentDraw], field: str, *, all_known: bool = False) -> int | None:
    """The largest value over the colours of one function: a head shows one colour at a time.

    With `all_known`, one colour without a value makes the answer unknown: it could be the largest.
    """
    values = [getattr(draw, field) for draw in draws]
    known = [value for value in values if value is not None]
    if not known or (all_known and len(known) < len(values)):
        return None
    return max(known)


def _model(draws: Sequence[CurrentDraw]) -> e.LoadModel:
    """How the load answers a lower voltage; of several colours the hardest on the supply."""
    models = {draw.load_model for draw in draws}
    order = (e.LoadModel.POWER, e.LoadModel.CURRENT, e.LoadModel.RESISTANCE)
    return next((model for model in order if model in models), e.LoadModel.CURRENT)


def _mode(row: OperatingMode, duties: list[tuple[int, int]], refs: dict[int, str]) -> e.Mode:
    return e.Mode(
        key=row.key,
        name=row.name,
        source=e.ModeSource(row.source),
        bus_v=row.bus_mv / 1000,
        chassis_base_a=row.chassis_base_ma / 1000,
        allowance_a=row.allowance_ma / 1000,
        inverter_w=float(row.inverter_w),
        inverter_efficiency=row.inverter_efficiency_percent / 100,
        asleep=row.asleep,
        needed_s=None if row.needed_minutes is None else 60.0 * row.needed_minutes,
        closed_links=tuple(feed.ref for feed in row.closed_links.all()),
        duty=tuple(
            e.Duty(circuit=refs[circuit], fraction=permille / 1000) for circuit, permille in duties
        ),
    )
