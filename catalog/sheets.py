"""Reading and writing small tables as CSV and XLSX, whatever arrives. Knows nothing of parts.

Whoever sends a sheet may send anything: a photo, a bomb, another program's export. Every file is
either read completely or refused with one sentence.
"""

import csv
import io
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from django.conf import settings
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

from catalog.sheet_files import (
    MOST_COLUMNS,
    SheetError,
    csv_rows,
    heading,
    megabytes,
    xlsx_rows,
    xlsx_sheets,
)

__all__ = [
    "Problem",
    "Row",
    "Sheet",
    "SheetError",
    "csv_lines",
    "read_sheet",
    "read_workbook",
    "workbook_bytes",
    "xlsx_bytes",
]

MOST_ROWS = 40_000
# Spreadsheets run cells that start like this; the apostrophe makes them text.
_RUNS = ("=", "+", "-", "@", "\t", "\r", "'")
_ERRORS = {"#NULL!", "#DIV/0!", "#VALUE!", "#REF!", "#NAME?", "#NUM!", "#N/A"}
_COMMENT = "#"
_OTHER_KINDS = (
    (b"\xd0\xcf\x11\xe0", "an old or password-protected workbook"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a packed file"),
    (b"Rar!", "a packed file"),
    (b"7z\xbc\xaf", "a packed file"),
)

Cell = str | Decimal | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """What is wrong in one cell. Row 1 is the row of column names."""

    row: int
    column: str
    sentence: str

    def __str__(self) -> str:
        return f"Row {self.row}, {self.column}: {self.sentence}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    number: int
    cells: dict[str, str]


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    columns: tuple[str, ...]
    rows: list[Row]
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


# --- Reading ---


def read_sheet(
    *, name: str, content: bytes, known: Collection[str], needed: Collection[str]
) -> Sheet:
    """The rows of a CSV or XLSX file by column name. Raises SheetError."""
    if not content:
        raise SheetError(f"{name} is empty (0 bytes).")
    most = settings.LARGEST_SHEET_BYTES
    if len(content) > most:
        raise SheetError(
            f"{name} has {megabytes(len(content))}; at most {megabytes(most)} are read."
        )
    for start, kind in _OTHER_KINDS:
        if content.startswith(start):
            raise SheetError(f"{name} is {kind}. Save it as CSV or XLSX and send that.")
    notes: list[str] = []
    if content.startswith(b"PK"):
        rows = xlsx_rows(name, content, notes)
    else:
        rows = csv_rows(name, content, known, notes)
    return _sheet(name, rows, known, needed, notes)


def _sheet(
    name: str,
    rows: Iterator[list[str]],
    known: Collection[str],
    needed: Collection[str],
    notes: list[str],
) -> Sheet:
    columns: tuple[str, ...] = ()
    found: list[Row] = []
    problems: list[Problem] = []
    for number, cells in enumerate(rows, start=1):
        if not any(cells):
            continue
        if not columns:
            columns = _header(name, cells, known, needed)
        elif not cells[0].startswith(_COMMENT) or cells[0] in _ERRORS:
            if len(found) == MOST_ROWS:
                raise SheetError(f"{name} has more than {MOST_ROWS:,} rows. Split it.")
            problems += _cell_problems(number, columns, cells)
            texts = map(_unescaped, cells)
            found.append(Row(number=number, cells=dict(zip(columns, texts, strict=False))))
    if not columns:
        raise SheetError(f"{name} holds no text at all.")
    if not found:
        raise SheetError(f"{name} names its columns but holds no row of data.")
    return Sheet(columns=columns, rows=found, problems=problems, notes=notes)


def read_workbook(name: str, content: bytes) -> dict[str, list[list[str]]]:
    """Every sheet of a workbook as rows of text, by its title. Raises SheetError."""
    return {
        title: [[_unescaped(cell) for cell in row] for row in rows]
        for title, rows in xlsx_sheets(name, content).items()
    }


def _header(
    name: str, cells: list[str], known: Collection[str], needed: Collection[str]
) -> tuple[str, ...]:
    columns = [heading(cell) for cell in cells]
    while columns and not columns[-1]:
        columns.pop()
    if len(columns) > MOST_COLUMNS:
        raise SheetError(f"{name} has more than {MOST_COLUMNS} columns.")
    if not set(columns) & set(known):
        raise SheetError(
            f"{name} must name its columns in the first row, such as {', '.join(needed)}. "
            f"It starts with: {cells[0][:40]}"
        )
    for position, column in enumerate(columns, start=1):
        if column not in known:
            raise SheetError(_unknown(name, column, position, known))
        if columns.count(column) > 1:
            raise SheetError(f"{name} has the column {column} more than once.")
    for column in needed:
        if column not in columns:
            raise SheetError(f"{name} has no column {column}.")
    return tuple(columns)


def _unknown(name: str, column: str, position: int, known: Collection[str]) -> str:
    if not column:
        return f"{name}: column {position} has no name."
    near = get_close_matches(column, list(known), n=1)
    hint = f"Did you mean {near[0]}?" if near else "Take it out or give it a known name."
    return f"{name}: the column {column[:40]} is not known. {hint}"


def _cell_problems(number: int, columns: tuple[str, ...], cells: list[str]) -> Iterator[Problem]:
    for column, cell in zip(columns, cells, strict=False):
        if cell.startswith("="):
            sentence = (
                f"{cell[:40]} is a formula. Paste its value, or put ' in front to keep it as text."
            )
            yield Problem(row=number, column=column, sentence=sentence)
        elif cell in _ERRORS:
            sentence = f"{cell} is a spreadsheet's error, not a value."
            yield Problem(row=number, column=column, sentence=sentence)
    if any(cells[len(columns) :]):
        extra = next(cell for cell in cells[len(columns) :] if cell)
        sentence = f"{extra[:40]!r} stands to the right of the last named column."
        yield Problem(row=number, column="(none)", sentence=sentence)


def _unescaped(cell: str) -> str:
    return cell[1:] if cell[:1] == "'" and cell[1:2] in _RUNS else cell


# --- Writing ---


def _escaped(cell: Any) -> Any:
    """Whatever is no number or day is written as text, rows by their names too; no text runs."""
    if cell is None or isinstance(cell, Decimal | int | float | date):
        return cell
    text = str(cell)
    return f"'{text}" if text.startswith(_RUNS) else text


def csv_lines(columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> Iterator[str]:
    """A CSV file line by line, with the mark that makes spreadsheets read it as UTF-8."""
    line = io.StringIO(newline="")
    writer = csv.writer(line)
    line.write("\ufeff")
    for cells in [list(columns)], rows:
        for row in cells:
            writer.writerow([_plain(_escaped(cell)) for cell in row])
            yield line.getvalue()
            line.seek(0)
            line.truncate()


def _plain(cell: Cell) -> str:
    return format(cell, "f") if isinstance(cell, Decimal) else cell or ""


def _printable(cell: Cell) -> Cell:
    return ILLEGAL_CHARACTERS_RE.sub("", cell) if isinstance(cell, str) else cell


def xlsx_bytes(title: str, columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> bytes:
    return workbook_bytes([(title, columns, rows)])


def workbook_bytes(
    sheets: Iterable[tuple[str, Iterable[str], Iterable[Iterable[Cell]]]],
) -> bytes:
    """A workbook with a sheet for each title, column names first."""
    book = Workbook(write_only=True)
    for title, columns, rows in sheets:
        sheet = book.create_sheet(title)
        sheet.freeze_panes = "B2"
        sheet.append(list(columns))
        for row in rows:
            sheet.append([_printable(_escaped(cell)) for cell in row])
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()
