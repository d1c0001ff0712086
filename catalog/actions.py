"""What happens to parts. A revision is never edited: every change makes the next one.

The catalog stands below the jobs and their history, so parts carry their own: who and when on
each revision and on each import.
"""

import hashlib
from datetime import timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from catalog.bulk import STALE, write_plan
from catalog.datasheet import (
    Datasheet,
    of_revision,
    revises,
    rows_of,
    settled,
    unsaved_revision,
)
from catalog.errors import CatalogError, NothingChanged, StaleImport, StalePart
from catalog.models import CurrentDraw, Part, PartImport, PartRevision, RatingLimit
from catalog.plan import Plan, plan_of

# A sheet that nobody applied is thrown away after this long.
KEEP_SHEETS = timedelta(days=7)


def name_of(by: Any) -> str:
    return by if isinstance(by, str) else by.get_full_name() or by.get_username()


# --- One part ---


@transaction.atomic
def create_part(*, code: str, datasheet: Datasheet, reason: str = "", by: Any) -> Part:
    try:
        with transaction.atomic():
            part = Part.objects.create(code=code, kind=datasheet.facts["kind"])
    except IntegrityError:
        raise CatalogError(f"{code} is in the catalog already. Choose another code.") from None
    part.current = _add_revision(part, 1, datasheet, reason, by)
    part.save(update_fields=["current"])
    return part


@transaction.atomic
def revise_part(
    *, part: Part, base_number: int, datasheet: Datasheet, reason: str = "", by: Any
) -> PartRevision:
    """Make the revision after `base_number`, which must still be the current one."""
    base = part.revisions.filter(number=base_number).select_related("part").first()
    if base is None:
        raise CatalogError(f"{part.code} has no revision {base_number}. Load the page again.")
    kind = datasheet.facts["kind"]
    old = of_revision(base)
    new = settled(datasheet, old)
    if new == old:
        raise NothingChanged(f"Nothing changed. Revision {base_number} stays.")
    revision = _next_revision(part, base, new, reason, by) if revises(new, old) else base
    moved = Part.objects.filter(pk=part.pk, current=base).update(current=revision, kind=kind)
    if not moved:
        raise StalePart(f"Somebody else changed {part.code} after revision {base_number}.")
    return revision


def _next_revision(
    part: Part, base: PartRevision, new: Datasheet, reason: str, by: Any
) -> PartRevision:
    """The unique number keeps two people from making the same revision at the same moment."""
    try:
        with transaction.atomic():
            return _add_revision(part, base.number + 1, new, reason, by)
    except IntegrityError:
        if part.revisions.filter(number__gt=base.number).exists():
            raise StalePart(
                f"Somebody else changed {part.code} after revision {base.number}."
            ) from None
        raise


def _add_revision(
    part: Part, number: int, datasheet: Datasheet, reason: str, by: Any
) -> PartRevision:
    revision = unsaved_revision(
        datasheet, part=part, number=number, reason=reason, made_by=name_of(by)
    )
    revision.save(force_insert=True)
    draws, limits = rows_of(datasheet, revision)
    CurrentDraw.objects.bulk_create(draws)
    RatingLimit.objects.bulk_create(limits)
    return revision


def retire_part(*, part: Part, replaced_by: Part | None = None, by: Any) -> None:
    """Take a part out of use. Jobs that hold it keep it."""
    retired = Part.objects.filter(pk=part.pk, retired=False).update(
        retired=True, retired_at=timezone.now(), retired_by=name_of(by), replaced_by=replaced_by
    )
    if not retired:
        raise CatalogError(f"{part.code} is retired already.")


def restore_part(*, part: Part, by: Any) -> None:
    restored = Part.objects.filter(pk=part.pk, retired=True).update(
        retired=False, retired_at=None, retired_by="", replaced_by=None
    )
    if not restored:
        raise CatalogError(f"{part.code} is in use already.")


# --- Imports ---


def keep_import(*, name: str, content: bytes, plan: Plan, by: Any) -> PartImport:
    """Keep the bytes of a dry run, so that exactly these can be applied afterwards."""
    PartImport.objects.filter(
        applied_at__isnull=True, uploaded_at__lt=timezone.now() - KEEP_SHEETS
    ).delete()
    return PartImport.objects.create(
        file_name=name,
        sha256=plan.sha256,
        size_bytes=len(content),
        content=content,
        uploaded_by=name_of(by),
    )


def plan_of_import(kept: PartImport) -> Plan:
    """What a kept sheet would change now. Its bytes must be the ones that were uploaded."""
    content = bytes(kept.content)
    if hashlib.sha256(content).hexdigest() != kept.sha256:
        raise StaleImport(f"The kept copy of {kept.file_name} is damaged. Upload it again.")
    return plan_of(name=kept.file_name, content=content)


def apply_import(*, kept: PartImport, digest: str, by: Any) -> Plan:
    """Apply a kept sheet if it would still do exactly what its dry run showed: all or nothing."""
    if kept.applied_at:
        raise CatalogError(f"{kept.applied_by} applied {kept.file_name} already.")
    plan = plan_of_import(kept)
    if plan.problems or plan.digest != digest:
        raise StaleImport(STALE)
    with transaction.atomic():
        applied = PartImport.objects.filter(pk=kept.pk, applied_at__isnull=True).update(
            applied_at=timezone.now(),
            applied_by=name_of(by),
            content=b"",
            new_count=plan.new,
            changed_count=plan.changed,
            unchanged_count=plan.unchanged,
        )
        if not applied:
            raise CatalogError(f"Somebody else applied {kept.file_name} a moment ago.")
        write_plan(plan=plan, reason=f"Import of {kept.file_name}"[:200], made_by=name_of(by))
    return plan
