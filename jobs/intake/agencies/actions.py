"""What happens to agencies and their contacts. Every write tells the history."""

from collections.abc import Mapping
from typing import Any

from django.db import IntegrityError, transaction

from jobs.audit.record import record
from jobs.intake.errors import IntakeError
from jobs.intake.guard import update_guarded
from jobs.intake.models import Agency, Contact


def field_words(model: Any, names: list[str]) -> str:
    """Column names as people call them, for a sentence of the history."""
    return ", ".join(str(model._meta.get_field(name).verbose_name).lower() for name in names)


@transaction.atomic
def add_agency(*, values: Mapping[str, Any], by: Any) -> Agency:
    try:
        with transaction.atomic():
            agency = Agency.objects.create(**values)
    except IntegrityError:
        raise IntakeError(f"There is an agency {values['name']} already.") from None
    record(by=by, verb="added", subject=agency, sentence=f"Added the agency {agency.name}.")
    return agency


@transaction.atomic
def change_agency(*, agency: Agency, version: int, values: Mapping[str, Any], by: Any) -> None:
    try:
        with transaction.atomic():
            changed = update_guarded(agency, version=version, values=values)
    except IntegrityError:
        raise IntakeError(f"There is an agency {values['name']} already.") from None
    if changed:
        sentence = f"Changed {agency.name}: {field_words(Agency, changed)}."
        record(by=by, verb="changed", subject=agency, sentence=sentence)


@transaction.atomic
def add_contact(*, agency: Agency, values: Mapping[str, Any], by: Any) -> Contact:
    contact = Contact.objects.create(agency=agency, **values)
    sentence = f"Added {contact.name} as a contact of {agency.name}."
    record(by=by, verb="added", subject=contact, sentence=sentence)
    return contact


@transaction.atomic
def change_contact(*, contact: Contact, version: int, values: Mapping[str, Any], by: Any) -> None:
    changed = update_guarded(contact, version=version, values=values)
    if changed:
        words = field_words(Contact, changed)
        sentence = f"Changed {contact.name}, contact of {contact.agency.name}: {words}."
        record(by=by, verb="changed", subject=contact, sentence=sentence)


@transaction.atomic
def remove_contact(*, contact: Contact, by: Any) -> None:
    """Take a contact off the agency. A second click finds nothing and says nothing."""
    sentence = f"Removed {contact.name} from the contacts of {contact.agency.name}."
    if Contact.objects.filter(pk=contact.pk).delete()[0]:
        record(by=by, verb="removed", subject=contact, sentence=sentence)
