"""Ratings of a vehicle that cannot both be true. Values are in stored units."""

from collections.abc import Callable
from typing import Any

from jobs.templatetags.units import amps, pounds


def contradictions(data: dict[str, Any]) -> list[tuple[str, str]]:
    """Ratings that cannot both be true: the field to look at, and a sentence with both values."""
    front, rear, gvwr = (data.get(name) for name in ("gawr_front_g", "gawr_rear_g", "gvwr_g"))
    axles = front + rear if front and rear else None
    got_front, got_rear = data.get("received_front_g"), data.get("received_rear_g")
    curb = got_front + got_rear if got_front and got_rear else None
    found = [
        _above("gvwr_g", "GVWR", gvwr, "GAWR front and rear together", axles, pounds),
        _above(
            "received_front_g", "Front axle as received", got_front, "GAWR front", front, pounds
        ),
        _above("received_rear_g", "Rear axle as received", got_rear, "GAWR rear", rear, pounds),
        _alternator(data, "alternator_hot_idle_ma", "Hot at idle", "alternator_rating_ma"),
        _alternator(
            data, "alternator_hot_high_idle_ma", "Hot at high idle", "alternator_rating_ma"
        ),
        _alternator(data, "alternator_hot_idle_ma", "Hot at idle", "alternator_hot_high_idle_ma"),
    ]
    if curb and gvwr and curb >= gvwr:
        sentence = f"Both axles as received, {pounds(curb)}, must be below GVWR, {pounds(gvwr)}."
        found.append(("received_rear_g", sentence))
    return [one for one in found if one]


def _above(
    field: str, name: str, value: Any, limit_name: str, limit: Any, words: Callable[[Any], str]
) -> tuple[str, str] | None:
    if not value or not limit or value <= limit:
        return None
    return field, f"{name}, {words(value)}, is above {limit_name}, {words(limit)}."


def _alternator(
    data: dict[str, Any], field: str, name: str, limit_field: str
) -> tuple[str, str] | None:
    limit_name = {
        "alternator_rating_ma": "the alternator rating",
        "alternator_hot_high_idle_ma": "hot at high idle",
    }[limit_field]
    return _above(field, name, data.get(field), limit_name, data.get(limit_field), amps)
