"""A datasheet as plain values, apart from rows and forms: read, compared, merged, checked."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from catalog.columns import BY_NAME, DRAW_KEY, DRAWS, FACTS, LIMIT_KEY, LIMITS, Column
from catalog.models import CurrentDraw, Part, PartRevision, RatingLimit

Values = dict[str, Any]
Key = tuple[str, ...]
Table = dict[Key, Values]
_GONE: Any = object()


@dataclass(frozen=True, kw_only=True, slots=True)
class Datasheet:
    """`facts` by model field; the two tables by what tells their rows apart."""

    facts: Values
    draws: Table
    limits: Table


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One difference in words. An empty `old` is an addition, an empty `new` a removal."""

    what: str
    old: str
    new: str


# --- From and to rows ---


def key_of(values: Values, fields: Sequence[str]) -> Key:
    return tuple(values.get(field) or "" for field in fields)


def table_of(rows: Iterable[Values], fields: Sequence[str]) -> Table:
    return {key_of(row, fields): row for row in rows}


def _values(row: Any, columns: Iterable[Column]) -> Values:
    return {column.field: getattr(row, column.field) for column in columns}


def of_revision(revision: PartRevision) -> Datasheet:
    """What one revision says. Prefetch draws and limits when there are many."""
    facts = {c.field: getattr(revision, c.field) for c in FACTS if c.field != "kind"}
    return Datasheet(
        facts={"kind": revision.part.kind, **facts},
        draws=table_of((_values(row, DRAWS) for row in revision.draws.all()), DRAW_KEY),
        limits=table_of((_values(row, LIMITS) for row in revision.limits.all()), LIMIT_KEY),
    )


def unsaved_revision(
    sheet: Datasheet, *, part: Part, number: int, reason: str, made_by: str
) -> PartRevision:
    """A revision that says what the datasheet says. Its kind stays with the part."""
    facts = {field: value for field, value in sheet.facts.items() if field != "kind"}
    return PartRevision(part=part, number=number, reason=reason, created_by=made_by, **facts)


def rows_of(
    sheet: Datasheet, revision: PartRevision
) -> tuple[list[CurrentDraw], list[RatingLimit]]:
    """The unsaved rows of both tables for one revision."""
    return (
        [CurrentDraw(revision=revision, **row) for row in sheet.draws.values()],
        [RatingLimit(revision=revision, **row) for row in sheet.limits.values()],
    )


# --- Comparing ---


def words_of(values: Values, columns: Sequence[Column]) -> str:
    """One row of a table in words: what is known of it."""
    known = [column for column in columns[2:] if values.get(column.field) not in (None, "")]
    figures = [f"{c.words.lower()} {c.show(values[c.field])}" for c in known if c.is_figure]
    words = [c.show(values[c.field]).lower() for c in known if not c.is_figure]
    return ", ".join(figures + words)


def draw_name(key: Key) -> str:
    return f"Current, {' '.join(key).strip()}"


def limit_name(key: Key) -> str:
    return f"Limit, {BY_NAME['limit_of'].show(key[0]).lower()} {key[1]}".strip()


def changes(old: Datasheet, new: Datasheet) -> list[Change]:
    """Every difference between two datasheets, in the order of the table of columns."""
    found = list(_cells("", old.facts, new.facts, FACTS))
    for name, columns, before, after in (
        (draw_name, DRAWS, old.draws, new.draws),
        (limit_name, LIMITS, old.limits, new.limits),
    ):
        for key in [*before, *(key for key in after if key not in before)]:
            what = name(key)
            if key not in after:
                found.append(Change(what=what, old=words_of(before[key], columns), new=""))
            elif key not in before:
                found.append(Change(what=what, old="", new=words_of(after[key], columns)))
            else:
                found += _cells(f"{what}: ", before[key], after[key], columns)
    return found


def _cells(name: str, old: Values, new: Values, columns: Iterable[Column]) -> Iterator[Change]:
    for c in columns:
        before, after = old.get(c.field), new.get(c.field)
        if before != after and c.write(before) != c.write(after):
            words = c.words.lower() if name else c.words
            yield Change(what=f"{name}{words}", old=c.show(before), new=c.show(after))


# --- Merging ---


def settled(new: Datasheet, old: Datasheet) -> Datasheet:
    """`new` with the stored value of `old` wherever both read the same: nobody typed a change."""
    return Datasheet(
        facts=_settle(new.facts, old.facts, FACTS),
        draws={k: _settle(row, old.draws.get(k, {}), DRAWS) for k, row in new.draws.items()},
        limits={k: _settle(row, old.limits.get(k, {}), LIMITS) for k, row in new.limits.items()},
    )


def _settle(new: Values, old: Values, columns: Iterable[Column]) -> Values:
    same = {
        c.field: old[c.field]
        for c in columns
        if c.field in new and c.field in old and _same(c, new[c.field], old[c.field])
    }
    return {**new, **same}


def _same(column: Column, new: Any, old: Any) -> bool:
    return bool(new == old) or column.write(new) == column.write(old)


def revises(new: Datasheet, old: Datasheet) -> bool:
    """Whether a settled datasheet needs a revision; the kind only says where a part is filed."""
    return replace(new, facts={**new.facts, "kind": None}) != replace(
        old, facts={**old.facts, "kind": None}
    )


def merged(*, base: Datasheet, mine: Datasheet, theirs: Datasheet) -> Datasheet:
    """Both people's changes to `base`. Where both changed the same figure, `mine` stands."""
    return Datasheet(
        facts=_merge(base.facts, mine.facts, theirs.facts),
        draws=_merge(base.draws, mine.draws, theirs.draws),
        limits=_merge(base.limits, mine.limits, theirs.limits),
    )


def _merge(base: dict[Any, Any], mine: dict[Any, Any], theirs: dict[Any, Any]) -> dict[Any, Any]:
    """Three-way merge, one level into rows. A row that one removed and the other changed stays."""
    result = {}
    for key in [*theirs, *(key for key in mine if key not in theirs)]:
        before, here, there = (side.get(key, _GONE) for side in (base, mine, theirs))
        if isinstance(here, dict) and isinstance(there, dict):
            value = _merge(before if isinstance(before, dict) else {}, here, there)
        elif here == before:
            value = there
        elif there == before:
            value = here
        else:
            value = there if here is _GONE else here
        if value is not _GONE:
            result[key] = value
    return result


# --- Checks that need more than one figure ---


def fact_problems(facts: Values) -> Iterator[tuple[str, str]]:
    """(field, sentence) for every pair of facts that contradict each other."""
    least, greatest = facts.get("supply_min_mv"), facts.get("supply_max_mv")
    if least is not None and greatest is not None and least > greatest:
        shown = BY_NAME["supply_min_v"].show(least), BY_NAME["supply_max_v"].show(greatest)
        yield "supply_max_mv", f"{shown[1]} is below the least supply voltage of {shown[0]}."


def draw_problems(draw: Values) -> Iterator[tuple[str, str]]:
    average, peak = draw.get("average_ma"), draw.get("peak_ma")
    if average is not None and peak is not None and peak < average:
        shown = BY_NAME["average_a"].show(average), BY_NAME["peak_a"].show(peak)
        yield "peak_ma", f"{shown[1]} is below the average of {shown[0]}."


def limit_problems(limit: Values) -> Iterator[tuple[str, str]]:
    if limit.get("limit_ma") == 0:
        yield "limit_ma", "0 A is no limit. It must be above 0 A."
