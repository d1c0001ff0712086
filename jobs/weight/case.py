"""The weight design made ready for the rules: what is missing, and the axle loads."""

import math
from dataclasses import fields, replace
from typing import Any

from jobs.weight.axles import AxleLoads, with_items
from jobs.weight.loads import Item, Vehicle, WeightDesign


class WeightCase:
    """One design; `missing` names what keeps the axle loads from being known."""

    def __init__(self, design: WeightDesign) -> None:
        self.design = design
        self.vehicle = _usable(design.vehicle)
        self.missing = self._missing()
        self.empty = self._loads(design.items)
        self.in_service = self._loads((*design.items, *design.payload))

    def _missing(self) -> list[str]:
        vehicle, gaps = self.vehicle, []
        for name, value in (
            ("wheelbase", vehicle.wheelbase_m),
            ("front axle load as received", vehicle.received_front_kg),
            ("rear axle load as received", vehicle.received_rear_kg),
        ):
            if value is None:
                gaps.append(name)
        for item in (*self.design.items, *self.design.payload):
            if not _known(item.mass_kg):
                gaps.append(f"weight of {item.name or item.ref}")
            if not _known(item.x_m):
                gaps.append(f"place of {item.name or item.ref}")
        return gaps

    def _loads(self, items: tuple[Item, ...]) -> AxleLoads | None:
        """Axle loads; None only when the vehicle's own data are missing."""
        vehicle = self.vehicle
        front, rear = vehicle.received_front_kg, vehicle.received_rear_kg
        if vehicle.wheelbase_m is None or front is None or rear is None:
            return None
        start = AxleLoads(front_kg=front, rear_kg=rear)
        known = [item for item in items if _known(item.mass_kg) and _known(item.x_m)]
        return with_items(start, known, wheelbase_m=vehicle.wheelbase_m)

    @property
    def added_kg(self) -> float:
        """Everything fitted to the vehicle, without cargo."""
        return sum(
            item.quantity * item.mass_kg
            for item in self.design.items
            if item.mass_kg is not None and not item.cargo
        )


def _usable(vehicle: Vehicle) -> Vehicle:
    """Zero, negative and endless ratings are as good as none."""
    absurd: dict[str, Any] = {
        item.name: None
        for item in fields(vehicle)
        if isinstance(value := getattr(vehicle, item.name), float) and not 0 < value < math.inf
    }
    return replace(vehicle, **absurd)


def _known(value: float | None) -> bool:
    return value is not None and math.isfinite(value)


def predicted_empty(design: WeightDesign) -> AxleLoads | None:
    """The finished vehicle without crew and gear; None while anything is missing."""
    case = WeightCase(design)
    return None if case.missing else case.empty


def predicted_in_service(design: WeightDesign) -> AxleLoads | None:
    """With crew and gear; None while anything is missing."""
    case = WeightCase(design)
    return None if case.missing else case.in_service
