"""What a check page tells the tablet, so that it can go on alone and say the same as the shop."""

from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.urls import reverse

from inspections.checklists.events import events_by_check, events_of
from inspections.checklists.models import Check, Instrument
from jobs.models import Stage, Unit


def events_for_device(unit: Unit, checks: list[Check], person: User) -> dict[str, dict[str, Any]]:
    """The events of each check in the order of js/bay/states.js; of one's own entries with the id.

    With the id the tablet sees which of its entries the page knows already.
    """
    released = hasattr(unit, "release")
    own = unit.results.filter(person=person).values_list("sequence", "client_id")
    ids = {sequence: str(client_id) for sequence, client_id in own}
    one = checks[0] if len(checks) == 1 else None
    events = {one.pk: events_of(one)} if one else events_by_check(unit)
    return {
        check.ref: {
            "version": check.version,
            "signed": check.stage.state == Stage.State.SIGNED,
            "released": released,
            "events": [
                [
                    *(event.sequence, event.kind, event.verdict, event.person),
                    *(event.check_version, event.base_sequence, event.voids, event.keeps),
                    *(event.late, ids.get(event.sequence, "")),
                ]
                for event in events[check.pk]
            ],
        }
        for check in checks
    }


def facts_for_device(check: Check, states: dict[str, str]) -> dict[str, Any]:
    """The other checks of the stage and the meters' dates."""
    number, unit = check.unit.job.number, check.unit.number
    due = Instrument.objects.exclude(calibration_due=None).values_list("pk", "calibration_due")
    return {
        "siblings": [
            {
                "ref": ref,
                "state": state,
                "url": reverse("inspections:check_detail", args=[number, unit, ref]),
            }
            for ref, state in states.items()
        ],
        "due": {pk: day.isoformat() for pk, day in due},
        "most_photo": settings.LARGEST_PHOTO_BYTES,
    }
