import csv
import io
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from catalog.columns import BY_NAME
from catalog.sheets import SheetError, csv_lines, read_sheet, xlsx_bytes
from tests.catalog.hostile import csv_of, far_corner, xlsx_of


def read(content: bytes, name: str = "parts.csv", needed=("code",)):
    return read_sheet(name=name, content=content, known=BY_NAME, needed=needed)


def cells(content: bytes) -> list[dict[str, str]]:
    return [row.cells for row in read(content).rows]


ROW = {
    "code": "P-1",
    "kind": "scene",
    "description": "Łódź, ½ in Ω",
    "list_usd": "12.5",
    "hours": "1",
}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_encodings_and_delimiters_read_alike(encoding, mark):
    lines = [mark.join(ROW), mark.join(f'"{cell}"' for cell in ROW.values())]
    assert cells("\r\n".join(lines).encode(encoding)) == [ROW]


def test_windows_letters_are_read_and_said_so():
    sheet = read("code,description\nP-1,Café für Ärzte\n".encode("cp1252"))
    assert sheet.rows[0].cells["description"] == "Café für Ärzte"
    assert "Windows-1252" in sheet.notes[0]


def test_a_sep_line_names_the_delimiter():
    assert cells(b"sep=;\ncode;kind\nP-1;scene\n") == [{"code": "P-1", "kind": "scene"}]


def test_headings_are_forgiving_about_capitals_and_spaces():
    assert read(b" Code , List USD \nP-1,3\n").columns == ("code", "list_usd")


def test_rows_keep_the_number_that_the_spreadsheet_shows():
    numbers = [row.number for row in read(b"\ncode,kind\n\nP-1,scene\n# note\nP-2,scene\n").rows]
    assert numbers == [4, 6]


def test_workbook_values_become_what_a_person_would_type():
    from datetime import datetime

    header = "code,list_usd,hours,serial_tracked,price_date,average_a"
    row = [1234, 148.0, 0.75, True, datetime(2026, 3, 2), 0.828]
    assert cells(xlsx_of(row, header=header)) == [
        dict(
            zip(
                header.split(","),
                ["1234", "148", "0.75", "yes", "2026-03-02", "0.828"],
                strict=True,
            )
        )
    ]


def test_only_the_first_sheet_is_read_and_that_is_said():
    book = load_workbook(io.BytesIO(xlsx_of(["P-1", "scene"])))
    book.create_sheet("Prices")
    target = io.BytesIO()
    book.save(target)
    assert "Only the first was read" in read(target.getvalue()).notes[0]


def test_formulas_are_named_cell_by_cell():
    content = xlsx_of(["P-1", "scene", "Lamp", "=B2*2", 1])
    for sheet in (read(content), read(csv_of("P-1,scene,Lamp,=B2*2,1"))):
        assert [(p.row, p.column) for p in sheet.problems] == [(2, "list_usd")]
        assert "=B2*2 is a formula" in sheet.problems[0].sentence


def test_errors_of_a_spreadsheet_are_named():
    problem = read(csv_of("P-1,scene,Lamp,#REF!,1")).problems[0]
    assert str(problem) == "Row 2, list_usd: #REF! is a spreadsheet's error, not a value."


def test_a_cell_beyond_the_last_column_is_named():
    assert "right of the last" in read(csv_of("P-1,scene,Lamp,3,1,stray")).problems[0].sentence


def test_a_cell_in_the_far_corner_costs_nothing_and_is_no_row():
    with pytest.raises(SheetError, match="no row of data"):
        read(far_corner())


def test_too_many_rows_are_refused():
    rows = "\n".join(f"P-{n}" for n in range(40_001))
    with pytest.raises(SheetError, match="more than 40,000 rows"):
        read(f"code\n{rows}".encode())


DANGEROUS = ["=1+1", "+1", "-1", "@SUM(A1)", "'quoted", "'=x", "\tx"]


def written_csv(rows: list[list[object]]) -> str:
    return "".join(csv_lines(["code", "description"], rows))


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_runs_and_every_cell_reads_back(text):
    rows = [["P-1", text]]
    found = list(csv.reader(io.StringIO(written_csv(rows).lstrip("\ufeff"))))
    assert found[1][1] == f"'{text}"
    assert cells(written_csv(rows).encode())[0]["description"].strip() == text.strip()
    book = load_workbook(io.BytesIO(xlsx_bytes("Parts", ["code", "description"], rows)))
    cell = book.active["B2"]
    assert (cell.data_type, cell.value) == ("s", f"'{text}")


def test_figures_are_numbers_in_a_workbook_and_plain_in_csv():
    rows = [["P-1", Decimal("0.0001")]]
    assert written_csv(rows).endswith("P-1,0.0001\r\n")
    book = load_workbook(io.BytesIO(xlsx_bytes("Parts", ["code", "description"], rows)))
    assert book.active["B2"].value == 0.0001


def test_what_no_workbook_can_hold_is_left_out():
    assert xlsx_bytes("Parts", ["code"], [["a\x07b"]])
