"""Recording where things are, how they looked, where they came from, and what changed since."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from inspections.as_built.current import AsBuilt, ChangeError, change_words, checked, value_of
from inspections.as_built.models import AsBuiltRevision, Origin, Pin, Place, PlacePhoto
from jobs.audit.record import display_name, record
from jobs.intake.standings import counted
from jobs.models import Circuit, Photo, Unit
from jobs.quoting.words import day_words


def _tell(unit: Unit, by: Any, verb: str, subject: Any, sentence: str) -> None:
    record(by=by, verb=verb, subject=subject, job=unit.job.number, sentence=sentence)


@transaction.atomic
def add_place(*, unit: Unit, by: User, circuits: Sequence[Circuit] = (), **fields: Any) -> Place:
    place = Place.objects.create(unit=unit, **fields)
    place.circuits.set(circuits)
    kind = place.get_kind_display().lower()
    _tell(unit, by, "placed", place, f"Unit {unit.number}: {kind} {place.ref}, {place.where}.")
    return place


@transaction.atomic
def add_pins(*, place: Place, rows: Sequence[Mapping[str, Any]], by: User) -> list[Pin]:
    """The whole pin table of a connector, in the order given; the old one goes."""
    place.pins.all().delete()
    pins = Pin.objects.bulk_create(Pin(place=place, **row) for row in rows)
    sentence = f"Connector {place.ref} of {place.unit.number} has {len(pins)} pins."
    _tell(place.unit, by, "placed", place, sentence)
    return pins


@transaction.atomic
def add_place_photos(
    *, place: Place, photos: Sequence[Photo], caption: str, for_customer: bool, by: User
) -> None:
    for photo in photos:
        PlacePhoto.objects.get_or_create(
            place=place,
            photo=photo,
            defaults={
                "caption": caption,
                "for_customer": for_customer,
                "taken_by": display_name(by),
            },
        )
    sentence = (
        f"Added {counted(len(photos), 'photo')} of {place.ref} of {place.unit.number}: {caption}."
    )
    _tell(place.unit, by, "photographed", place, sentence)


@transaction.atomic
def record_origin(*, unit: Unit, by: User, **fields: Any) -> Origin:
    origin = Origin.objects.create(unit=unit, recorded_by=display_name(by), **fields)
    about = f" of {origin.line.ref}" if origin.line else ""
    sentence = f"Unit {unit.number}: {origin}{about}, {day_words(origin.on)}."
    _tell(unit, by, "recorded", origin, sentence)
    return origin


@transaction.atomic
def revise(
    *, unit: Unit, circuit: Circuit, what: str, value: str, reason: str, by: User
) -> AsBuiltRevision:
    """The vehicle differs from its papers: keep what was and what is, as the next revision.

    Raises ChangeError when the value cannot be, or is what stands already.
    """
    after = checked(what, value)
    unit = Unit.objects.select_for_update().get(pk=unit.pk)
    now = AsBuilt(unit).circuit(circuit.ref)
    before = value_of(now or circuit, what)
    if before == after:
        raise ChangeError(f"{circuit.ref} has {after or 'nothing'} there already.")
    change = {"about": circuit.ref, "what": what, "before": before, "after": after}
    return keep_changes(unit=unit, changes=[change], reason=reason, by=by)


def keep_changes(
    *, unit: Unit, changes: list[dict[str, str]], reason: str, by: User
) -> AsBuiltRevision:
    """The next as-built revision. The caller holds the unit's row."""
    last = unit.as_built_revisions.order_by("number").last()
    revision = AsBuiltRevision.objects.create(
        unit=unit,
        number=last.number + 1 if last else 1,
        changes=changes,
        reason=reason,
        made_by=display_name(by),
    )
    words = "; ".join(change_words(one) for one in changes)
    _tell(unit, by, "changed", revision, f"As-built revision {revision.number}: {words}. {reason}")
    return revision


@transaction.atomic
def show_to_customer(*, photo: PlacePhoto, shown: bool, by: User) -> None:
    changed = PlacePhoto.objects.filter(pk=photo.pk, for_customer=not shown).update(
        for_customer=shown
    )
    if changed:
        word = "Put a photo on" if shown else "Took a photo off"
        sentence = f"{word} the customer's page: {photo.caption}."
        _tell(photo.place.unit, by, "showed", photo, sentence)
