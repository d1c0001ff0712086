"""What else the cause of a defect may have touched: the same tool, people and day, drawing.

A computed list, so that nobody has to remember. Who looked at it decides what is checked again.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from inspections.checklists.models import Check, Result
from inspections.defects.models import Defect
from jobs.audit.record import display_name
from jobs.models import WorkEvent

MOST = 30
WORK = (WorkEvent.Kind.START, WorkEvent.Kind.STOP, WorkEvent.Kind.FINISH)


@dataclass(frozen=True, kw_only=True, slots=True)
class Touched:
    """Checks that share something with a defect, and what that is. `more` were left off."""

    why: str
    checks: list[Check]
    more: int = 0


def touched_by(defect: Defect) -> list[Touched]:
    """The groups that are not empty; a check stands in the first group that it fits."""
    seen = {defect.check_item_id}
    found = []
    for why, query in (*_same_tool(defect), *_same_people(defect), *_same_drawing(defect)):
        checks = [check for check in _others(query) if check.pk not in seen]
        seen |= {check.pk for check in checks}
        if checks:
            found.append(Touched(why=why, checks=checks[:MOST], more=max(len(checks) - MOST, 0)))
    return found


def _others(query: QuerySet[Check]) -> Iterable[Check]:
    return (
        query.filter(retired=False)
        .select_related("unit__job", "unit__release", "stage")
        .order_by(
            F("unit__release").asc(nulls_first=True),
            "unit__job__number",
            "unit__number",
            "position",
        )
        .distinct()
    )


def _same_tool(defect: Defect) -> Iterable[tuple[str, QuerySet[Check]]]:
    """What the same instrument measured on the day of the failed reading."""
    tool, day = defect.result.instrument, timezone.localtime(defect.result.at_device).date()
    if tool is None:
        return
    results = Result.objects.filter(instrument=tool, at_device__date=day)
    yield f"Measured with {tool} on {day:%-d %b %Y}", Check.objects.filter(results__in=results)


def _same_people(defect: Defect) -> Iterable[tuple[str, QuerySet[Check]]]:
    """The same kind of work by the same people on the same days, on this unit and on others."""
    check = defect.check_item
    events = WorkEvent.objects.filter(kind__in=WORK).select_related("person")
    made = events.filter(stage__unit=defect.unit, stage__code=check.made_in)
    people = {event.person_id: event.person for event in made}
    for person in people.values():
        days = _days(made.filter(person=person))
        theirs = events.filter(person=person, at__date__in=days)
        stages = Q()
        for unit, code in set(theirs.values_list("stage__unit", "stage__code")):
            stages |= Q(unit=unit, made_in=code)
        words = f"{check.area} made by {display_name(person)} on {_span(days)}"
        yield words, Check.objects.filter(stages, area=check.area)


def _days(events: QuerySet[WorkEvent]) -> list[date]:
    return sorted({timezone.localtime(at).date() for at in events.values_list("at", flat=True)})


def _span(days: list[date]) -> str:
    first, last = days[0], days[-1]
    if first == last:
        return f"{first:%-d %b %Y}"
    return f"{len(days)} days, {first:%-d %b} to {last:%-d %b %Y}"


def _same_drawing(defect: Defect) -> Iterable[tuple[str, QuerySet[Check]]]:
    """The same item on the other units of the job, and everything on the same circuit here."""
    check = defect.check_item
    others = Check.objects.filter(unit__job=defect.unit.job).exclude(unit=defect.unit)
    yield "The same item on the other units, from the same drawing", others.filter(key=check.key)
    if check.circuit is not None:
        here = Check.objects.filter(unit=defect.unit, circuit=check.circuit)
        yield f"On the same circuit {check.circuit.ref}", here
