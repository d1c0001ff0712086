"""Files that people and attackers send instead of a sheet of parts."""

import io
import zipfile
from typing import Any

from openpyxl import Workbook

HEADER = "code,kind,description,list_usd,hours"


def csv_of(*rows: str, header: str = HEADER) -> bytes:
    return "\n".join([header, *rows]).encode()


def xlsx_of(*rows: list[Any], header: str = HEADER) -> bytes:
    book = Workbook()
    sheet = book.active
    sheet.append(header.split(","))
    for row in rows:
        sheet.append(row)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def repacked(content: bytes, change: dict[str, Any]) -> bytes:
    """A workbook with some of its inner files replaced."""
    source, target = zipfile.ZipFile(io.BytesIO(content)), io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as package:
        for name in source.namelist():
            package.writestr(name, change.get(name, source.read(name)))
        for name in set(change) - set(source.namelist()):
            package.writestr(name, change[name])
    return target.getvalue()


SHEET = "xl/worksheets/sheet1.xml"


def size_bomb() -> bytes:
    """Small on the wire, 100 MB unpacked."""
    return repacked(xlsx_of(["P-1"]), {SHEET: b" " * (100 * 1024 * 1024)})


def many_files_bomb() -> bytes:
    return repacked(xlsx_of(["P-1"]), {f"xl/media/{n}.txt": b"" for n in range(2000)})


def entity_bomb() -> bytes:
    """Ten levels of entities, each ten of the next: 10^10 letters when resolved."""
    levels = "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' if n else '<!ENTITY l0 "ha">' for n in range(10)
    )
    xml = (
        f'<?xml version="1.0"?><!DOCTYPE worksheet [{levels}]>'
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
        '<row r="1"><c r="A1" t="inlineStr"><is><t>&l9;</t></is></c></row></sheetData></worksheet>'
    )
    return repacked(xlsx_of(["P-1"]), {SHEET: xml.encode()})


def far_corner() -> bytes:
    """One cell in the last row and column that a spreadsheet has."""
    xml = (
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        '<dimension ref="A1:XFD1048576"/><sheetData>'
        '<row r="1"><c r="A1" t="inlineStr"><is><t>code</t></is></c></row>'
        '<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>'
        "</sheetData></worksheet>"
    )
    return repacked(xlsx_of(["P-1"]), {SHEET: xml.encode()})


def other_package() -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as package:
        package.writestr("word/document.xml", "<x/>")
    return target.getvalue()


# What is sent, and words that its sentence must hold.
HOSTILE: dict[str, tuple[bytes, list[str]]] = {
    "no bytes": (b"", ["empty (0 bytes)"]),
    "only spaces": (b" \n \n", ["no text at all"]),
    "six megabytes": (b"code\n" + b"P-1\n" * 1_600_000, ["6.1 MB", "at most 5.0 MB"]),
    "a picture": (b"\x89PNG\r\n\x1a\n" + b"\0" * 64, ["is a picture"]),
    "a PDF": (b"%PDF-1.7 ...", ["is a PDF"]),
    "an old workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 99, ["old or password"]),
    "another package": (other_package(), ["no XLSX workbook"]),
    "half a workbook": (xlsx_of(["P-1"])[:2000], ["damaged"]),
    "a size bomb": (size_bomb(), ["unpacks to 100.0 MB", "at most 64.0 MB"]),
    "a bomb of files": (many_files_bomb(), ["files", "500"]),
    "an entity bomb": (entity_bomb(), ["damaged"]),
    "broken XML": (repacked(xlsx_of(["P-1"]), {SHEET: b"<worksheet>"}), ["damaged"]),
    "NUL bytes": (b"code,kind\nP-1,war\0ning\n", ["line 2", "NUL"]),
    "wide text without its mark": ("code,kind\nP-1,scene\n".encode("utf-16-le"), ["NUL"]),
    "bytes of no text": (b"code,description\nP-1,\x81\x8d\x8f\n", ["no text that can be read"]),
    "no column names": (b"P-1,warning,Head,12,1\n", ["must name its columns", "P-1"]),
    "prose": (b"Dear shop, here is our price list.", ["must name its columns"]),
    "an unknown column": (b"code,wieght_lb\nP-1,3\n", ["wieght_lb", "weight_lb"]),
    "an unnamed column": (b"code,,kind\nP-1,3,scene\n", ["column 2 has no name"]),
    "a column twice": (b"code,kind,Kind\nP-1,a,b\n", ["kind more than once"]),
    "no code column": (b"kind,description\nscene,Lamp\n", ["no column code"]),
    "half a current table": (b"code,function,average_a\nP-1,on,1\n", ["no column", "peak_a"]),
    "half of the limits": (b"code,limit_a\nP-1,1\n", ["limit_of", "limit_count"]),
    "an open quotation mark": (b'code,description\nP-1,"Lamp\n', ["line"]),
    "an endless cell": (b"code,note\nP-1," + b"x" * 200_000, ["line 2", "131072"]),
    "names but no rows": (b"code,kind\n", ["no row of data"]),
    "a hundred columns": (b"code" + b",kind" * 100 + b"\nP-1\n", ["more than 60 columns"]),
}
