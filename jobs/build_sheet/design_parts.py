"""What rows become in the frozen design. Rows keep mA, mm and mV; the calculation wants A, m and V.

What is built from bare values alone is kept: equal rows are the same part of every design.
"""

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from typing import Any

from jobs.build_sheet.models import Zone
from jobs.build_sheet.rows import Rows
from jobs.electrical import design as e

ZONES = dict(Zone.choices)
MOST_KEPT = 4096


def milli(value: int | None) -> float | None:
    return None if value is None else value / 1000


def micro(value: int | None) -> float | None:
    return None if value is None else value / 1_000_000


def metres(mm: Decimal | None) -> float | None:
    return None if mm is None else float(mm) / 1000


def conductor_facts(row: Any) -> dict[str, object]:
    return {
        "ref": row.ref,
        "device_kind": e.DeviceKind(row.device_kind),
        "device_a": milli(row.device_ma),
        "awg": row.awg or None,
        "insulation_c": row.insulation_c,
        "length_m": metres(row.length_mm),
        "return_path": e.ReturnPath(row.return_path),
        "engine_space": bool(row.engine_space),
        "bundle_count": row.bundle_count,
        "sheathed": bool(row.sheathed),
    }


# A load's row with the draws of its part.
LoadRow = tuple[Any, tuple[Any, ...]]


def load_rows(row: Any, rows: Rows) -> tuple[LoadRow, ...]:
    return tuple(
        (load, tuple(rows.draws.get(load.line__part_id, ()))) for load in rows.loads.get(row.id, ())
    )


def circuit_from(row: Any, feed: str, node: str | None, loads: tuple[LoadRow, ...]) -> e.Circuit:
    return e.Circuit(
        **conductor_facts(row),  # type: ignore[arg-type]
        feed=feed,
        designation=row.designation,
        node=node,
        channel=row.channel,
        channel_limit_a=milli(row.channel_limit_ma),
        contact_limit_a=milli(row.contact_limit_ma),
        intermittent=bool(row.intermittent),
        whole_feed=bool(row.whole_feed),
        drop_limit_percent=float(row.drop_limit_percent) if row.drop_limit_percent else None,
        through_average_a=row.through_average_ma / 1000,
        through_peak_a=row.through_peak_ma / 1000,
        label=row.label or row.ref,
        loads=tuple(load_from(row, drawn) for row, drawn in loads),
    )


# Only for rows as they were read: a model is equal to another state of itself.
kept_circuit = lru_cache(maxsize=MOST_KEPT)(circuit_from)


def load_from(row: Any, drawn: tuple[Any, ...]) -> e.Load:
    draws = [draw for draw in drawn if draw.function == row.function]
    average, peak = (
        _worst(draws, "average_ma", all_known=True),
        _worst(draws, "peak_ma", all_known=True),
    )
    return e.Load(
        ref=row.line__ref,
        name=row.line__part__description,
        place=row.line__access or ZONES.get(row.line__zone, row.line__zone),
        owner=e.Owner(row.line__ownership) if row.line__ownership else None,
        quantity=row.quantity,
        model=_model(draws),
        average_a=milli(average),
        peak_a=milli(peak),
        standby_a=micro(_worst(draws, "standby_ua")),
        inrush_a=milli(_worst(draws, "inrush_ma")),
        inrush_s=milli(_worst(draws, "inrush_ms")),
        supply_min_v=milli(row.line__part__supply_min_mv),
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


@lru_cache(maxsize=MOST_KEPT)
def mode_from(row: Any, links: tuple[str, ...], duties: tuple[tuple[str, int], ...]) -> e.Mode:
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
        closed_links=links,
        duty=tuple(e.Duty(circuit=ref, fraction=permille / 1000) for ref, permille in duties),
    )
