"""Taking a unit out of service: the list of what comes out, and where each thing goes."""

from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from catalog.models import Ownership
from inspections.service.actions import ServiceError
from inspections.service.models import Removal, RemovalItem
from jobs.audit.record import display_name, record
from jobs.build_sheet.unit_lines import lines_of
from jobs.models import Unit

Outcome = RemovalItem.Outcome


def _tell(removal: Removal, by: Any, verb: str, sentence: str) -> None:
    record(by=by, verb=verb, subject=removal, job=removal.unit.job.number, sentence=sentence)


@transaction.atomic
def begin_removal(*, unit: Unit, reason: str, by: User) -> Removal:
    """The list, made from what is on record: every line, and the agency's own equipment."""
    try:
        with transaction.atomic():
            removal = Removal.objects.create(
                unit_id=unit.pk, reason=reason, begun_by=display_name(by)
            )
    except IntegrityError:
        raise ServiceError(f"{unit.number} is being taken out of service already.") from None
    serials: dict[int, list[str]] = {}
    for row in unit.serials.all():
        serials.setdefault(row.line_id, []).append(row.serial)
    lines = [line for line in lines_of(unit) if line.ownership != Ownership.SUBLET]
    items = [
        RemovalItem(
            removal=removal,
            line=line,
            description=f"{line.ref} {line.part.description}",
            quantity=line.quantity,
            serials=", ".join(serials.get(line.pk, []))[:300],
            agency_owned=line.ownership == Ownership.AGENCY,
        )
        for line in lines
    ]
    known = {serial for row in serials.values() for serial in row}
    # Fitted furnished items are build lines too. A serial number says that it is one thing, and
    # so does the name where none was recorded when it was fitted.
    unnumbered = {
        line.part.description.casefold(): item
        for line, item in zip(lines, items, strict=True)
        if item.agency_owned and not item.serials
    }
    loose = []
    for furnished in unit.job.furnished_items.all():
        if furnished.serial and furnished.serial in known:
            continue
        fitted = unnumbered.pop(furnished.description.casefold(), None)
        if fitted is None:
            loose.append(furnished)
        else:
            fitted.serials = furnished.serial
    items += [
        RemovalItem(
            removal=removal,
            furnished=item,
            description=item.description,
            quantity=item.quantity,
            serials=item.serial,
            agency_owned=True,
        )
        for item in loose
    ]
    RemovalItem.objects.bulk_create(items)
    sentence = (
        f"Unit {unit.number} is taken out of service: {reason}. {len(items)} things to remove."
    )
    _tell(removal, by, "began", sentence)
    return removal


@transaction.atomic
def decide_item(
    *, item: RemovalItem, outcome: str, by: User, received_by: str = "", note: str = ""
) -> None:
    """Where one thing went. Agency equipment goes to its owner or stays in the agency's vehicle."""
    removal = (
        Removal.objects.select_for_update().select_related("unit__job").get(pk=item.removal_id)
    )
    if removal.finished_at:
        raise ServiceError("The removal is finished; its list is closed.")
    if item.agency_owned and outcome in (Outcome.REUSE, Outcome.SCRAP):
        raise ServiceError(
            f"{item.description} belongs to the agency; it goes back to the agency or stays."
        )
    if outcome == Outcome.RETURNED and not received_by.strip():
        raise ServiceError(f"Say who received {item.description}.")
    RemovalItem.objects.filter(pk=item.pk).update(
        outcome=outcome, received_by=received_by.strip(), note=note, decided_by=display_name(by)
    )
    word = Outcome(outcome).label.lower()
    to = f", received by {received_by}" if received_by else ""
    _tell(removal, by, "removed", f"{item.description} of {removal.unit.number}: {word}{to}.")


@transaction.atomic
def finish_removal(*, removal: Removal, holes_closed: bool, by: User) -> None:
    removal = Removal.objects.select_for_update().select_related("unit__job").get(pk=removal.pk)
    left = removal.items.filter(outcome="")
    if left:
        names = ", ".join(item.description for item in left[:4])
        raise ServiceError(f"{len(left)} things are not decided yet: {names}.")
    if not holes_closed:
        raise ServiceError("Say that every hole is plugged and watertight.")
    done = Removal.objects.filter(pk=removal.pk, finished_at=None).update(
        finished_at=timezone.now(), finished_by=display_name(by), holes_closed=True
    )
    if not done:
        raise ServiceError("The removal is finished already.")
    _tell(removal, by, "finished", f"Unit {removal.unit.number} is out of service, holes closed.")
