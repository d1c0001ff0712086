"""Events of a check: adding the next link of a unit's chain, and what the events say together."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from inspections.checklists import state as rules
from inspections.checklists.chain import link, outcome_sha256, payload_sha256
from inspections.checklists.models import Check, Result
from jobs.models import Unit


def append_event(
    unit: Unit, check: Check, by: User, kind: str, payload: dict[str, object], **fields: object
) -> Result:
    """Add the next link of the unit's chain. The caller holds the unit's row lock."""
    last = unit.results.order_by("sequence").last()
    sequence = last.sequence + 1 if last else 1
    previous = last.digest if last else ""
    sha = payload_sha256(payload)
    fields.setdefault("check_version", check.version)
    result = Result(
        unit=unit,
        check_item=check,
        kind=kind,
        person=by,
        received_at=timezone.now(),
        payload_sha256=sha,
        sequence=sequence,
        previous_digest=previous,
        **fields,
    )
    result.digest = link(
        previous=previous,
        sequence=sequence,
        payload_sha=sha,
        outcome_sha=outcome_sha256(result),
    )
    result.save()
    return result


COLUMNS = (
    "sequence",
    "kind",
    "verdict",
    "person_id",
    "check_version",
    "base_sequence",
    "voids__sequence",
    "keeps__sequence",
    "late",
)


def events_of(check: Check) -> list[rules.Event]:
    """The check's events in the plain form of state.py."""
    rows = check.results.order_by("sequence").values_list(*COLUMNS)
    return [_event(row) for row in rows]


def events_by_check(unit: Unit) -> dict[int, list[rules.Event]]:
    """The events of all checks of a unit in one query."""
    found: dict[int, list[rules.Event]] = defaultdict(list)
    rows = unit.results.order_by("sequence").values_list("check_item_id", *COLUMNS)
    for check, *row in rows:
        found[check].append(_event(row))
    return found


def _event(row: Sequence[Any]) -> rules.Event:
    sequence, kind, verdict, person, version, base, voids, keeps, late = row
    return rules.Event(
        sequence=sequence,
        kind=kind,
        verdict=verdict,
        person=person,
        check_version=version,
        base_sequence=base,
        voids=voids or 0,
        keeps=keeps or 0,
        late=late,
    )


def refresh_state(check: Check) -> str:
    """Recompute the state kept for lists. Runs inside the transaction that added the event."""
    state = rules.state_of(events_of(check), version=check.version)
    Check.objects.filter(pk=check.pk).update(state=state)
    check.state = state
    return state
