"""From the bytes of a build file to entries that name their place in it."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from catalog.sheet_files import heading
from catalog.sheets import SheetError, read_workbook
from jobs.build_sheet.exchange.tables import TABLE_BY_NAME, Cells

LARGEST_BYTES = 8 * 1024 * 1024
# Of one table. Each row is checked like a typed form while the database waits.
MOST_ROWS = 2_000
HEAD = ("format", "version", "job")


class BuildFileError(Exception):
    """Why a file cannot be read at all, as a sentence."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """One thing wrong in a file: where, and a sentence."""

    where: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One row of the file. `row` is set for sheets, `index` for JSON."""

    table: str
    cells: Cells
    row: int | None = None
    index: int | None = None

    def place(self, column: str = "") -> str:
        if self.row is not None:
            tail = f", column {column}" if column else ""
            return f"sheet {self.table}, row {self.row}{tail}"
        return f"{self.table}[{self.index}]" + (f".{column}" if column else "")


@dataclass(frozen=True, kw_only=True, slots=True)
class BuildFile:
    """`tables` holds only those that the file has; the others are left as they are."""

    tables: dict[str, list[Entry]]
    rule_set: str | None
    problems: list[Problem]


def read_build(name: str, content: bytes) -> BuildFile:
    """The build in a file, XLSX or JSON by its first bytes. Raises BuildFileError."""
    if len(content) > LARGEST_BYTES:
        size = len(content) / 1024 / 1024
        raise BuildFileError(f"{name} has {size:.1f} MB; at most 8 MB are read.")
    if content.startswith(b"PK"):
        return _from_sheets(name, content)
    return _from_json(name, content)


def _from_json(name: str, content: bytes) -> BuildFile:
    try:
        data = json.loads(content.decode("utf-8-sig"), parse_constant=_refuse)
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        raise BuildFileError(f"{name} is neither XLSX nor JSON: {error}.") from None
    if not isinstance(data, dict) or data.get("format") != "build" or data.get("version") != 1:
        raise BuildFileError(f'{name} must be an object with "format": "build" and "version": 1.')
    head = data.get("job") if isinstance(data.get("job"), dict) else {}
    problems: list[Problem] = []
    tables: dict[str, list[Entry]] = {}
    for key, rows in data.items():
        if key in HEAD:
            continue
        if key not in TABLE_BY_NAME:
            problems.append(_unknown(key, key, "table"))
        elif not isinstance(rows, list):
            problems.append(Problem(where=key, sentence="must be a list of rows."))
        else:
            _count(name, key, rows)
            tables[key] = _entries(key, rows, problems)
    return BuildFile(tables=tables, rule_set=_word(head.get("rule_set")), problems=problems)


def plain_build(tables: dict[str, list[Cells]]) -> BuildFile:
    """Tables that are in memory already, for example those of a kit or of another job."""
    entries = {
        key: [Entry(table=key, cells=row, index=index) for index, row in enumerate(rows)]
        for key, rows in tables.items()
    }
    return BuildFile(tables=entries, rule_set=None, problems=[])


def _refuse(word: str) -> None:
    raise ValueError(f"{word} is not a number")


def _word(value: object) -> str | None:
    return str(value) if value else None


def _entries(key: str, rows: list[Any], problems: list[Problem]) -> list[Entry]:
    found = []
    for index, row in enumerate(rows):
        if isinstance(row, dict):
            found.append(Entry(table=key, cells=row, index=index))
        else:
            where = f"{key}[{index}]"
            problems.append(Problem(where=where, sentence="must be an object of columns."))
    return found


def _from_sheets(name: str, content: bytes) -> BuildFile:
    try:
        sheets = read_workbook(name, content)
    except SheetError as error:
        raise BuildFileError(str(error)) from None
    problems: list[Problem] = []
    tables: dict[str, list[Entry]] = {}
    rule_set = None
    for title, rows in sheets.items():
        key = heading(title)
        head = [heading(cell) for cell in rows[0]] if rows else []
        entries = [
            Entry(table=key, row=number, cells=_named(head, row))
            for number, row in enumerate(rows[1:], start=2)
            if any(row) and not row[0].startswith("#")
        ]
        if key == "job":
            rule_set = _word(entries[0].cells.get("rule_set")) if entries else None
        elif key in TABLE_BY_NAME:
            _count(name, title, entries)
            tables[key] = entries
        else:
            problems.append(_unknown(f"sheet {title}", title, "sheet"))
    return BuildFile(tables=tables, rule_set=rule_set, problems=problems)


def _count(name: str, table: str, rows: Sequence[object]) -> None:
    if len(rows) > MOST_ROWS:
        raise BuildFileError(
            f"{name}: {table} has {len(rows):,} rows; at most {MOST_ROWS:,} are read."
        )


def _named(head: list[str], row: list[str]) -> Cells:
    return {name: cell for name, cell in zip(head, row, strict=False) if name}


def _unknown(where: str, name: str, what: str) -> Problem:
    known = ", ".join(TABLE_BY_NAME)
    return Problem(where=where, sentence=f"{name} is no {what} of a build file (known: {known}).")
