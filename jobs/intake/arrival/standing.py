"""How far the check-in of a unit has come, and what is still missing before it can be accepted."""

from dataclasses import dataclass

from jobs.intake.arrival.models import ConditionPhoto
from jobs.intake.models import Unit

# The walk round the vehicle. Dash, plate and damage may be added; these eight are asked for.
WALK = (
    "front",
    "front_left",
    "left",
    "rear_left",
    "rear",
    "rear_right",
    "right",
    "front_right",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Arrival:
    unit: Unit
    views: tuple[tuple[str, str, tuple[ConditionPhoto, ...]], ...]

    @property
    def is_accepted(self) -> bool:
        return self.unit.arrived_at is not None

    @property
    def has_readings(self) -> bool:
        """Identity is read together with them, so they stand for both."""
        values = (self.unit.odometer_mi, self.unit.keys, self.unit.fuel_percent)
        return all(value is not None for value in values)

    @property
    def missing_views(self) -> list[str]:
        return [name for view, name, photos in self.views if view in WALK and not photos]

    @property
    def photo_count(self) -> int:
        return sum(len(photos) for _, _, photos in self.views)

    @property
    def missing(self) -> list[str]:
        """What must happen before acceptance, as sentences."""
        found = []
        if not self.has_readings:
            found.append("The VIN plate, odometer, keys and fuel have not been read.")
        if self.missing_views:
            found.append(f"No photo yet: {', '.join(self.missing_views)}.")
        return found


def arrival_of(unit: Unit) -> Arrival:
    photos: dict[str, list[ConditionPhoto]] = {view: [] for view, _ in ConditionPhoto.VIEWS}
    for taken in unit.condition_photos.select_related("photo", "taken_by"):
        photos[taken.view].append(taken)
    views = tuple((view, name, tuple(photos[view])) for view, name in ConditionPhoto.VIEWS)
    return Arrival(unit=unit, views=views)
