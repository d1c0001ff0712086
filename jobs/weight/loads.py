"""The frozen input of the weight calculation: the vehicle as received, what is added, who rides.

SI floats with the unit in the name; x is metres behind the front axle, y metres right of the
centre line. None means "not entered yet" and leads to an undetermined finding, never to a pass.
"""

from dataclasses import dataclass

POUND_KG = 0.45359237


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """`quantity` equal pieces at one place; negative mass for something taken off."""

    ref: str
    name: str = ""
    quantity: int = 1
    mass_kg: float | None = None
    x_m: float | None = None
    y_m: float | None = None
    on_roof: bool = False
    # Fuel, water and the like: carried, but not weight added to the labels' vehicle.
    cargo: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Vehicle:
    """Ratings of the chassis, axle loads as received, scale ticket of the finished vehicle."""

    wheelbase_m: float | None = None
    track_m: float | None = None
    gvwr_kg: float | None = None
    gawr_front_kg: float | None = None
    gawr_rear_kg: float | None = None
    received_front_kg: float | None = None
    received_rear_kg: float | None = None
    roof_limit_kg: float | None = None
    # Designated seating positions of the finished vehicle.
    seats: int | None = None
    # Before its first retail sale the labels must be right; a used vehicle keeps its labels.
    before_first_sale: bool = True
    scale_front_kg: float | None = None
    scale_rear_kg: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class WeightDesign:
    """`items` make the finished empty vehicle, `payload` is the crew and gear it carries."""

    vehicle: Vehicle = Vehicle()
    items: tuple[Item, ...] = ()
    payload: tuple[Item, ...] = ()
