"""From the bytes of a CSV or XLSX file to rows of text. Knows nothing of columns.

A package is looked into before it is unpacked; entity bombs are refused by defusedxml, which the
workbook reader uses when it is installed.
"""

import csv
import io
import zipfile
from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Any

from openpyxl import load_workbook

MEGABYTE = 1024 * 1024
MOST_UNPACKED = 64 * MEGABYTE
MOST_FILES = 500
MOST_COLUMNS = 60
# Of each sheet of a workbook with several.
MOST_LINES = 20_000
_EMPTY_ROW = (None,) * (MOST_COLUMNS + 1)


class SheetError(Exception):
    """The sentence that says why a file was not read."""


def megabytes(size: int) -> str:
    return f"{size / MEGABYTE:.1f} MB"


def heading(cell: str) -> str:
    return "_".join(cell.lower().split())


# --- CSV ---


def csv_rows(
    name: str, content: bytes, known: Collection[str], notes: list[str]
) -> Iterator[list[str]]:
    text = _decoded(name, content, notes)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise SheetError(f"{name} is not a text: line {line} holds a NUL byte.")
    delimiter, text = _delimiter(text, known)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for cells in reader:
            yield [cell.strip() for cell in cells]
    except csv.Error as error:
        raise SheetError(f"{name}, line {reader.line_num}: {error}.") from None


def _decoded(name: str, content: bytes, notes: list[str]) -> str:
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        text = content.decode("cp1252")
    except UnicodeDecodeError as error:
        raise SheetError(
            f"{name} is no text that can be read (byte {error.start + 1:,})."
        ) from None
    notes.append(
        "The file is not UTF-8 and was read as Windows-1252. Look at letters with accents."
    )
    return text


def _delimiter(text: str, known: Collection[str]) -> tuple[str, str]:
    """The mark between cells: named by a `sep=` line, else the one that finds most column names."""
    first, _, rest = text.partition("\n")
    if first.lower().startswith("sep=") and len(first.strip()) == 5:
        return first[4], rest
    marks = (",", ";", "\t", "|")
    return max(marks, key=lambda mark: _known_names(first, mark, known)), text


def _known_names(line: str, mark: str, known: Collection[str]) -> int:
    return sum(heading(cell.strip(' "\r')) in known for cell in line[:4_000].split(mark))


# --- XLSX ---


def xlsx_rows(name: str, content: bytes, notes: list[str]) -> Iterator[list[str]]:
    _check_package(name, content)
    try:
        book = load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
        sheet = book.worksheets[0]
        if len(book.worksheets) > 1:
            notes.append(
                f"The workbook has several sheets. Only the first was read: {sheet.title}."
            )
        sheet.reset_dimensions()
        for cells in sheet.iter_rows(max_col=MOST_COLUMNS + 1, values_only=True):
            # A stray mark in the last row of a sheet makes a million empty ones.
            yield [_text(cell) for cell in cells] if cells != _EMPTY_ROW else []
    except Exception as error:
        # A damaged workbook makes its reader raise almost anything.
        raise SheetError(
            f"{name} is damaged and was not read ({type(error).__name__}). "
            "Open it in a spreadsheet, save it again, or save it as CSV."
        ) from error


def xlsx_sheets(name: str, content: bytes) -> dict[str, list[list[str]]]:
    """Every sheet of a workbook, by its title."""
    _check_package(name, content)
    try:
        book = load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
        found = {}
        for sheet in book.worksheets:
            sheet.reset_dimensions()
            rows = sheet.iter_rows(max_col=MOST_COLUMNS + 1, max_row=MOST_LINES, values_only=True)
            found[sheet.title] = [[_text(cell) for cell in cells] for cells in rows]
        return found
    except Exception as error:
        raise SheetError(
            f"{name} is damaged and was not read ({type(error).__name__}). "
            "Open it in a spreadsheet and save it again."
        ) from error


def _check_package(name: str, content: bytes) -> None:
    """Look into the package before anything is unpacked: a bomb says how large it will be."""
    try:
        entries = zipfile.ZipFile(io.BytesIO(content)).infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        raise SheetError(f"{name} is damaged: it is cut off or no XLSX at all.") from None
    if "xl/workbook.xml" not in {entry.filename for entry in entries}:
        raise SheetError(f"{name} is a packed file but no XLSX workbook. Save it as CSV or XLSX.")
    if any(entry.flag_bits & 1 for entry in entries):
        raise SheetError(f"{name} is protected by a password. Save it without one.")
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > MOST_UNPACKED or len(entries) > MOST_FILES:
        raise SheetError(
            f"{name} unpacks to {megabytes(unpacked)} in {len(entries):,} files; at most "
            f"{megabytes(MOST_UNPACKED)} in {MOST_FILES} files are read."
        )


def _text(value: Any) -> str:
    """A spreadsheet's value as a person would have typed it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, str | int):
        return str(value).strip()
    return f"={type(value).__name__}"
