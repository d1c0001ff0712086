"""Axle loads by moments, and the federal weight thresholds."""

from collections.abc import Iterable
from dataclasses import dataclass

from jobs.weight.loads import POUND_KG, Item


@dataclass(frozen=True, kw_only=True, slots=True)
class AxleLoads:
    front_kg: float
    rear_kg: float

    @property
    def total_kg(self) -> float:
        return self.front_kg + self.rear_kg


def axle_shares(*, mass_kg: float, x_m: float, wheelbase_m: float) -> AxleLoads:
    """What one item puts on each axle [kg]: rear = m * x / wheelbase, front = m - rear.

    Behind the rear axle the front share is negative, ahead of the front axle the rear share.
    Wheelbase above zero. Source: navedtra-14233.

    >>> shares = axle_shares(mass_kg=34, x_m=52, wheelbase_m=148)
    >>> round(shares.rear_kg, 3), round(shares.front_kg, 3)
    (11.946, 22.054)
    """
    rear = mass_kg * x_m / wheelbase_m
    return AxleLoads(front_kg=mass_kg - rear, rear_kg=rear)


def with_items(start: AxleLoads, items: Iterable[Item], *, wheelbase_m: float) -> AxleLoads:
    """Axle loads after items are added; items without mass or place are left out."""
    front, rear = start.front_kg, start.rear_kg
    for item in items:
        if item.mass_kg is None or item.x_m is None:
            continue
        mass = item.quantity * item.mass_kg
        shares = axle_shares(mass_kg=mass, x_m=item.x_m, wheelbase_m=wheelbase_m)
        front += shares.front_kg
        rear += shares.rear_kg
    return AxleLoads(front_kg=front, rear_kg=rear)


def centre_of_gravity(*, moments: Iterable[tuple[float, float]]) -> float:
    """Distance of the centre of gravity = sum(W * d) / sum(W), in the unit of d.

    `moments` are (weight, distance) pairs from one datum; the weights do not cancel.
    Source: navedtra-14233.

    >>> round(centre_of_gravity(moments=[(3500, 40), (5500, 195)]), 2)
    134.72
    """
    pairs = list(moments)
    return sum(weight * at for weight, at in pairs) / sum(weight for weight, _ in pairs)


def label_threshold_kg(*, gvwr_kg: float) -> float:
    """Added weight above which the labels must be corrected [kg] = min(1.5 % of GVWR, 100 lb).

    Before first retail sale. Source: 49cfr571-110.

    >>> round(label_threshold_kg(gvwr_kg=6000 * POUND_KG) / POUND_KG, 1)
    90.0
    """
    return min(0.015 * gvwr_kg, 100 * POUND_KG)


def gvwr_floor_kg(*, unloaded_kg: float, cargo_kg: float, seats: int) -> float:
    """Smallest GVWR [kg] = unloaded + rated cargo + 150 lb per seating position.

    Source: 49cfr567-4.

    >>> floor = gvwr_floor_kg(unloaded_kg=8600 * POUND_KG, cargo_kg=6100 * POUND_KG, seats=2)
    >>> round(floor / POUND_KG)
    15000
    """
    return unloaded_kg + cargo_kg + 150 * POUND_KG * seats


def side_difference_percent(*, moment_kg_m: float, total_kg: float, track_m: float) -> float:
    """Difference between the sides over the total [%] = 100 * 2 * |M| / (track * total).

    M is the sum of mass times distance right of the centre line; the vehicle itself counts as
    even. Total and track above zero. Source: navedtra-14233.

    >>> side_difference_percent(moment_kg_m=35, total_kg=1000, track_m=1.75)
    4.0
    """
    return 100 * 2 * abs(moment_kg_m) / (track_m * total_kg)
