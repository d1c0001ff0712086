"""The check-in of a unit: readings, photos, acceptance by two names. Accepted, it is closed."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone

from jobs.audit.record import record
from jobs.intake.arrival.models import ConditionPhoto
from jobs.intake.arrival.standing import arrival_of
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import Unit
from jobs.intake.standings import counted
from jobs.photos.models import Photo


def _open(unit: Unit) -> Unit:
    """The unit, locked, while its check-in is open."""
    locked = Unit.objects.select_for_update().get(pk=unit.pk)
    if locked.arrived_at:
        day = timezone.localtime(locked.arrived_at)
        raise IntakeError(
            f"Unit {unit.number} was accepted on {day:%-d %b %Y}. Its check-in is closed."
        )
    return locked


@transaction.atomic
def write_readings(*, unit: Unit, version: int, values: Mapping[str, Any], by: Any) -> None:
    _open(unit)
    try:
        with transaction.atomic():
            changed = update_guarded(unit, version=version, values=values)
    except IntegrityError:
        raise IntakeError(f"VIN {values['vin']} is another unit of this job already.") from None
    if changed:
        sentence = (
            f"Read unit {unit.number}: plate {unit.vin}, {unit.odometer_mi:,} mi, "
            f"{unit.keys} keys, {unit.fuel_percent} % fuel."
        )
        _record(unit, by, "read", sentence)


@transaction.atomic
def add_photos(
    *, unit: Unit, view: str, photos: Sequence[Photo], note: str, by: Any
) -> list[ConditionPhoto]:
    """Add stored photos to one view. The same picture sent twice is one photo."""
    _open(unit)
    held = set(unit.condition_photos.filter(view=view).values_list("photo_id", flat=True))
    new = [photo for photo in dict.fromkeys(photos) if photo.pk not in held]
    taken = [
        ConditionPhoto.objects.create(unit=unit, photo=photo, view=view, note=note, taken_by=by)
        for photo in new
    ]
    if taken:
        name = taken[0].get_view_display().lower()
        count = "a photo" if len(taken) == 1 else f"{len(taken)} photos"
        _record(unit, by, "photographed", f"Added {count} of unit {unit.number}: {name}.")
    return taken


@transaction.atomic
def remove_photo(*, taken: ConditionPhoto, by: Any) -> None:
    """Take a photo out of the walk before acceptance. The stored picture itself stays."""
    unit = taken.unit
    _open(unit)
    name, sha256 = taken.get_view_display().lower(), taken.photo.sha256
    if ConditionPhoto.objects.filter(pk=taken.pk).delete()[0]:
        sentence = f"Took a photo of unit {unit.number} out: {name}, {sha256[:12]}."
        _record(unit, by, "removed", sentence)


@transaction.atomic
def accept_unit(*, unit: Unit, handed_over_by: str, by: Any) -> None:
    """Accept the vehicle as it stands. Two names: who hands over, who accepts."""
    arrival = arrival_of(_open(unit))
    if arrival.missing:
        raise IntakeError(" ".join(arrival.missing))
    Unit.objects.filter(pk=unit.pk, arrived_at=None).update(
        arrived_at=timezone.now(),
        accepted_by=by,
        handed_over_by=handed_over_by,
        version=F("version") + 1,
    )
    unit.refresh_from_db()
    sentence = (
        f"Accepted unit {unit.number} from {handed_over_by} "
        f"with {counted(arrival.photo_count, 'photo')}, "
        f"{unit.keys} keys, {unit.odometer_mi:,} mi."
    )
    _record(unit, by, "accepted", sentence)


@transaction.atomic
def reopen_arrival(*, unit: Unit, reason: str, by: Any) -> None:
    """Open a closed check-in again, for a mistake found later. The reason stays on record."""
    was = Unit.objects.select_related("accepted_by").get(pk=unit.pk)
    reopened = Unit.objects.filter(pk=unit.pk, arrived_at__isnull=False).update(
        arrived_at=None, accepted_by=None, handed_over_by="", version=F("version") + 1
    )
    if not reopened:
        raise IntakeError(f"The check-in of unit {unit.number} is open already.")
    sentence = (
        f"Opened the check-in of unit {unit.number} again, accepted by {was.accepted_by} "
        f"from {was.handed_over_by} before: {reason}"
    )
    unit.refresh_from_db()
    _record(unit, by, "reopened", sentence)


def _record(unit: Unit, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=unit, job=unit.job.number, sentence=sentence)
