"""Which units have it: a part, lot, serial number, crimp tool and day, logic or harness version."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.db.models import Q

from inspections.as_built.models import Origin
from inspections.service.models import PartSwap
from jobs.build_sheet.models import UnitDifference
from jobs.build_sheet.unit_lines import own_pieces, pieces_on
from jobs.models import BuildLine, Serial, Unit

Found = dict[int, list[str]]


@dataclass(kw_only=True, slots=True)
class Match:
    unit: Unit
    why: list[str] = field(default_factory=list)


def search(asked: dict[str, Any]) -> list[Match]:
    """Units that answer every field that was filled in, each with the reasons in words."""
    results = [find(asked) for name, find in FINDERS.items() if _filled(name, asked)]
    if not results:
        return []
    hit = set.intersection(*(set(found) for found in results))
    units = Unit.objects.filter(pk__in=hit).select_related("job__agency", "receipt")
    return [
        Match(unit=unit, why=[words for found in results for words in found[unit.pk]])
        for unit in units.order_by("job__number", "number")
    ]


def _filled(name: str, asked: dict[str, Any]) -> bool:
    return any(asked.get(key) for key in name.split("/"))


def _gather(pairs: Iterator[tuple[int, str]]) -> Found:
    found: Found = {}
    for unit, words in pairs:
        if words not in found.setdefault(unit, []):
            found[unit].append(words)
    return found


def _part(asked: dict[str, Any]) -> Found:
    lines = BuildLine.objects.filter(part__part__code__iexact=asked["part"].strip())
    own = own_pieces(UnitDifference.objects.filter(line__in=lines))
    return _gather(
        (unit.pk, f"{line.ref}: {pieces} × {line.part.description}")
        for line in lines.select_related("part").prefetch_related("job__units")
        for unit in line.job.units.all()
        if (pieces := pieces_on(line, unit.pk, own))
    )


def _serial(asked: dict[str, Any]) -> Found:
    begin = asked["serial"].strip()

    def pairs() -> Iterator[tuple[int, str]]:
        for row in Serial.objects.filter(serial__istartswith=begin).select_related("line"):
            yield row.unit_id, f"{row.line.ref}: serial number {row.serial}"
        swaps = PartSwap.objects.filter(serial_out__istartswith=begin)
        for swap in swaps.select_related("line", "case"):
            yield swap.case.unit_id, f"{swap.line.ref}: {swap.serial_out}, taken out on {swap.case}"

    return _gather(pairs())


def _origins(asked: dict[str, Any], wanted: Q) -> Found:
    rows = Origin.objects.filter(wanted).select_related("line")
    return _gather((row.unit_id, _words(row)) for row in rows.order_by("on", "pk"))


def _words(row: Origin) -> str:
    about = f" of {row.line.ref}" if row.line else ""
    note = f": {row.note}" if row.note else ""
    return f"{row}{about}, {row.on:%-d %b %Y}{note}"


def _lot(asked: dict[str, Any]) -> Found:
    return _origins(asked, Q(kind=Origin.Kind.LOT, value__iexact=asked["lot"].strip()))


def _crimp(asked: dict[str, Any]) -> Found:
    wanted = Q(kind=Origin.Kind.CRIMP)
    tool, day = asked.get("tool", ""), asked.get("day")
    if tool:
        wanted &= Q(value__iexact=tool.strip())
    if isinstance(day, date):
        wanted &= Q(on=day)
    return _origins(asked, wanted)


def _harness(asked: dict[str, Any]) -> Found:
    return _origins(asked, Q(kind=Origin.Kind.HARNESS, value__iexact=asked["harness"].strip()))


def _logic(asked: dict[str, Any]) -> Found:
    """The version that is on board now: the last one loaded."""
    wanted, last = asked["logic"].strip().casefold(), {}
    for row in Origin.objects.filter(kind=Origin.Kind.LOGIC).order_by("on", "pk"):
        last[row.unit_id] = row
    return _gather(
        (unit, _words(row)) for unit, row in last.items() if row.value.casefold() == wanted
    )


FINDERS: dict[str, Callable[[dict[str, Any]], Found]] = {
    "part": _part,
    "serial": _serial,
    "lot": _lot,
    "tool/day": _crimp,
    "logic": _logic,
    "harness": _harness,
}
