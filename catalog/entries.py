"""From the rows of a sheet to what it says about each part, with every wrong cell named."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError

from catalog.columns import BY_NAME, DRAW_KEY, DRAWS, FACTS, LIMIT_KEY, LIMITS, Column
from catalog.datasheet import (
    Table,
    Values,
    draw_name,
    draw_problems,
    key_of,
    limit_name,
    limit_problems,
)
from catalog.sheets import Problem, Row, Sheet, SheetError, read_sheet

RETIRED = BY_NAME["retired"]


@dataclass(kw_only=True, slots=True)
class Entry:
    """What a sheet says about one part. None for a table: the sheet does not speak of it."""

    code: str
    row: Row
    facts: Values
    retired: bool | None
    draws: Table | None
    limits: Table | None
    at: dict[str, int] = field(default_factory=dict)


def read_entries(*, name: str, content: bytes) -> tuple[list[Entry], Sheet]:
    """Every part of the file. Wrong cells stand in the sheet's problems. Raises SheetError."""
    sheet = read_sheet(name=name, content=content, known=BY_NAME, needed=["code"])
    for columns in (DRAWS, LIMITS):
        _check_all_or_none(name, sheet, columns)
    return _Reader(sheet).entries(), sheet


def _check_all_or_none(name: str, sheet: Sheet, columns: Sequence[Column]) -> None:
    missing = [column.name for column in columns if column.name not in sheet.columns]
    if missing and len(missing) < len(columns):
        raise SheetError(
            f"{name} has no column {', '.join(missing)}. The columns of the "
            f"{columns[0].of.lower()} come together or not at all."
        )


class _Reader:
    """One pass over the rows. Equal cells of one column are read once."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.cache: dict[tuple[str, str], Any] = {}
        self.facts = [column for column in FACTS if column.name in sheet.columns]
        self.once = [column for column in (*FACTS, RETIRED) if column.name in sheet.columns]
        self.has_draws = DRAWS[0].name in sheet.columns
        self.has_limits = LIMITS[0].name in sheet.columns

    def entries(self) -> list[Entry]:
        found: dict[str, Entry] = {}
        last: Entry | None = None
        for row in self.sheet.rows:
            named = row.cells.get("code", "")
            code = last.code if last and not named else self._read(row, BY_NAME["code"])
            if last is not None and code == last.code:
                self._continue(last, row)
            elif code in found:
                self._complain(
                    row,
                    "code",
                    f"{code} stands on row {found[code].row.number} already. "
                    "Rows of one part follow one another.",
                )
                last = None
            elif code is None:
                last = None
            else:
                last = found[code] = self._start(code, row)
        return list(found.values())

    def _start(self, code: str, row: Row) -> Entry:
        read = {column.field: self._read(row, column) for column in self.once}
        entry = Entry(
            code=code,
            row=row,
            facts={column.field: read[column.field] for column in self.facts},
            retired=read.get("retired"),
            draws={} if self.has_draws else None,
            limits={} if self.has_limits else None,
        )
        self._add_tables(entry, row)
        return entry

    def _continue(self, entry: Entry, row: Row) -> None:
        """A further row of the same part: its facts are empty or repeat the first row's."""
        for column in self.once:
            text, first = row.cells.get(column.name, ""), entry.row.cells.get(column.name, "")
            if text and text != first:
                self._complain(
                    row,
                    column.name,
                    f"{text[:40]} differs from {first[:40] or 'nothing'} on row "
                    f"{entry.row.number} of the same part {entry.code}.",
                )
        if not self._add_tables(entry, row):
            self._complain(
                row,
                "code",
                f"{entry.code} stands on row {entry.row.number} already and this row adds neither "
                "a current nor a limit.",
            )

    def _add_tables(self, entry: Entry, row: Row) -> bool:
        draw = self._add(entry.draws, row, DRAWS, DRAW_KEY, entry)
        limit = self._add(entry.limits, row, LIMITS, LIMIT_KEY, entry)
        return draw or limit

    def _add(
        self,
        table: Table | None,
        row: Row,
        columns: Sequence[Column],
        key_fields: Sequence[str],
        entry: Entry,
    ) -> bool:
        """Add one row of one table; False when its cells are empty."""
        if table is None or not any(row.cells.get(column.name) for column in columns):
            return False
        values = {column.field: self._read(row, column) for column in columns}
        key = key_of(values, key_fields)
        name, check = (
            (draw_name, draw_problems) if columns is DRAWS else (limit_name, limit_problems)
        )
        if key in table:
            sentence = f"{name(key)} of {entry.code} stands on row {entry.at[name(key)]} already."
            self._complain(row, columns[0].name, sentence)
        entry.at[name(key)] = row.number
        self._complain_fields(row, columns, check(values))
        table[key] = values
        return True

    def _read(self, row: Row, column: Column) -> Any:
        """The value of one cell, None after a complaint."""
        text = row.cells.get(column.name, "")
        spot = (column.name, text)
        if spot not in self.cache:
            try:
                self.cache[spot] = column.clean(text)
            except ValidationError as error:
                self.cache[spot] = error
        value = self.cache[spot]
        if not isinstance(value, ValidationError):
            return value
        # A formula or a spreadsheet's error was complained about when the file was read.
        if not text.startswith(("=", "#")):
            self._complain(row, column.name, " ".join(value.messages))
        return None

    def _complain(self, row: Row, column: str, sentence: str) -> None:
        self.sheet.problems.append(Problem(row=row.number, column=column, sentence=sentence))

    def _complain_fields(
        self, row: Row, columns: Iterable[Column], found: Iterator[tuple[str, str]]
    ) -> None:
        names = {column.field: column.name for column in columns}
        for name, sentence in found:
            self._complain(row, names[name], sentence)
