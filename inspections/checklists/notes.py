"""A note on a check: words and photos in the record that decide nothing."""

import uuid
from collections.abc import Sequence
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from inspections.checklists.events import append_event
from inspections.checklists.models import Check, Result, ResultPhoto
from inspections.checklists.readings import CheckError
from jobs.models import Photo, Unit


@transaction.atomic
def record_note(
    *,
    check: Check,
    by: User,
    text: str,
    photos: Sequence[Photo] = (),
    client_id: uuid.UUID | None = None,
    at_device: datetime | None = None,
) -> Result:
    """Append a note to the unit's chain. The check keeps its state."""
    if not text.strip() and not photos:
        raise CheckError("A note needs words or a photo.", "reason")
    unit = Unit.objects.select_for_update().get(pk=check.unit_id)
    payload = {
        "check": check.key,
        "check_version": check.version,
        "conditions": "",
        "instrument": "",
        "person": by.pk,
        "photos": sorted(photo.sha256 for photo in photos),
        "pressed": "",
        "reason": text.strip(),
        "unit": check.unit_id,
        "value": "",
    }
    note = append_event(
        unit,
        check,
        by,
        Result.Kind.NOTE,
        payload,
        client_id=client_id or uuid.uuid4(),
        reason=text.strip(),
        at_device=at_device or timezone.now(),
    )
    ResultPhoto.objects.bulk_create(ResultPhoto(result=note, photo=photo) for photo in photos)
    return note
