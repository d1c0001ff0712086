"""Two builds row by row and column by column."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

# The columns that say which row is meant, in the order in which people read the tables.
KEYS: dict[str, tuple[str, ...]] = {
    "lines": ("ref",),
    "circuits": ("ref",),
    "loads": ("circuit", "line", "function"),
    "feeds": ("ref",),
    "supplies": ("ref",),
    "nodes": ("ref",),
    "modes": ("key",),
    "duty": ("mode", "circuit"),
    "payload": ("description",),
    "branches": ("ref",),
    "bonds": ("name",),
}
WORDS = {"lines": "Build line", "loads": "Load", "duty": "Duty", "payload": "Crew or gear",
         "branches": "120 V branch", "bonds": "Neutral bond", "supplies": "Supply",
         "circuits": "Circuit", "feeds": "Feed", "nodes": "Node", "modes": "Mode"}  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    column: str
    before: Any
    after: Any


@dataclass(frozen=True, kw_only=True, slots=True)
class Difference:
    """One row that is not the same: added, removed, or changed in these cells."""

    table: str
    name: str
    word: str
    cells: tuple[Cell, ...] = ()

    @property
    def what(self) -> str:
        return WORDS[self.table]


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Difference]:
    """Every row that differs; tables that one side lacks altogether are not compared."""
    return [
        found
        for table in KEYS
        if table in before and table in after
        for found in _table(table, before[table], after[table])
    ]


def _table(
    table: str, before: list[dict[str, Any]], after: list[dict[str, Any]]
) -> Iterator[Difference]:
    old, new = _by_name(table, before), _by_name(table, after)
    for name, row in new.items():
        if name not in old:
            yield Difference(table=table, name=name, word="added", cells=_cells({}, row))
        elif cells := _cells(old[name], row):
            yield Difference(table=table, name=name, word="changed", cells=cells)
    for name in old:
        if name not in new:
            yield Difference(table=table, name=name, word="removed", cells=_cells(old[name], {}))


def _by_name(table: str, rows: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Rows by their name; those of the same name are told apart by their order."""
    found: dict[str, dict[str, Any]] = {}
    for row in rows:
        name = " ".join(str(row[column]) for column in KEYS[table])
        count = sum(1 for one in found if one == name or one.startswith(f"{name} ("))
        found[name if not count else f"{name} ({count + 1})"] = row
    return found


def _cells(before: dict[str, Any], after: dict[str, Any]) -> tuple[Cell, ...]:
    """What differs; for a new or a gone row only what is filled in."""
    columns = list(dict.fromkeys((*after, *before)))
    return tuple(
        Cell(column=column.replace("_", " "), before=before.get(column), after=after.get(column))
        for column in columns
        if _plain(before.get(column)) != _plain(after.get(column))
    )


def _plain(value: Any) -> Any:
    return None if value in ("", [], False) else value
