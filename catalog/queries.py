"""What the pages of one part show: its tables in words, its history, where it is used."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from django.db.models import Count, F, QuerySet, Sum

from catalog.columns import BY_NAME, DRAWS, FACTS, LIMITS
from catalog.datasheet import Change, Datasheet, Table, changes, of_revision
from catalog.models import Part, PartRevision
from catalog.ratings import gap_words, revisions_with_gaps

HISTORY = 20
USES = 100
_AMPS = BY_NAME["average_a"]
_BY_FIELD = {column.field: column for column in FACTS}


@dataclass(frozen=True, kw_only=True, slots=True)
class Past:
    """One revision with what it changed against the one before it."""

    revision: PartRevision
    changes: list[Change]


@dataclass(frozen=True, kw_only=True, slots=True)
class DrawRow:
    """One row of the current table: words, and bars in percent of the largest current."""

    words: dict[str, str]
    average: int
    peak: int


@dataclass(frozen=True, kw_only=True, slots=True)
class ListRow:
    """One part in the list, with the largest currents over its functions and colours."""

    part: Part
    average: str
    peak: str
    gaps: list[str]


def list_row(part: Part) -> ListRow:
    draws = list(part.current.draws.all())
    return ListRow(
        part=part,
        average=_largest([draw.average_ma for draw in draws]),
        peak=_largest([draw.peak_ma for draw in draws]),
        gaps=gap_words(part),
    )


def _largest(currents: list[int | None]) -> str:
    """Not known as soon as one of them is not: the largest could be that one."""
    if not currents:
        return "none"
    return (
        "not known" if None in currents else _AMPS.show(max(c for c in currents if c is not None))
    )


def revisions_of(part: Part) -> QuerySet[PartRevision]:
    revisions = revisions_with_gaps(PartRevision.objects.filter(part=part))
    return revisions.select_related("part").prefetch_related("draws", "limits")


def history_of(part: Part) -> list[Past]:
    """The newest revisions, newest first."""
    revisions = part.revisions.select_related("part").prefetch_related("draws", "limits")
    newest = list(revisions.order_by("-number")[: HISTORY + 1])
    sheets = [of_revision(revision) for revision in newest]
    steps = [changes(old, new) for new, old in pairwise(sheets)]
    return [
        Past(revision=revision, changes=steps[index] if index < len(steps) else [])
        for index, revision in enumerate(newest[:HISTORY])
    ]


def uses_of(part: Part) -> list[dict[str, Any]]:
    """Jobs that hold the part, by revision. Jobs stand above the catalog, so only their words."""
    rows = part.revisions.filter(build_lines__isnull=False).values(
        "number",
        job=F("build_lines__job__number"),
        title=F("build_lines__job__title"),
        agency=F("build_lines__job__agency__name"),
    )
    rows = rows.annotate(pieces=Sum("build_lines__quantity"), places=Count("build_lines"))
    return list(rows.order_by("-job", "-number")[:USES])


def facts_in_words(sheet: Datasheet, *fields: str) -> list[tuple[str, str]]:
    return [(_BY_FIELD[f].words, _BY_FIELD[f].show(sheet.facts[f])) for f in fields]


def figures_in_words(sheet: Datasheet) -> list[tuple[str, str]]:
    """What a designer looks for first. Largest over functions and colours."""
    draws = sheet.draws.values()
    return [
        ("Average, largest", _largest([draw["average_ma"] for draw in draws])),
        ("Peak, largest", _largest([draw["peak_ma"] for draw in draws])),
        ("Supply", _range(sheet.facts["supply_min_mv"], sheet.facts["supply_max_mv"])),
        *facts_in_words(sheet, "mass_g", "labour_minutes", "list_price_cents"),
    ]


def _range(low: int | None, high: int | None) -> str:
    volts = BY_NAME["supply_max_v"]
    if low is None:
        return volts.show(high) if high is None else f"up to {volts.show(high)}"
    return (
        f"from {volts.show(low)}" if high is None else f"{volts.write(low)} to {volts.show(high)}"
    )


def draws_in_words(sheet: Datasheet) -> list[DrawRow]:
    rows = list(sheet.draws.values())
    currents = [row[field] or 0 for row in rows for field in ("average_ma", "peak_ma")]
    largest = max([*currents, 1])
    return [
        DrawRow(
            words={column.field: column.show(row[column.field]) for column in DRAWS},
            average=100 * (row["average_ma"] or 0) // largest,
            peak=100 * (row["peak_ma"] or 0) // largest,
        )
        for row in rows
    ]


def limits_in_words(limits: Table) -> list[dict[str, str]]:
    return [
        {column.field: column.show(row[column.field]) for column in LIMITS}
        for row in limits.values()
    ]
