import io
import json

import pytest
from openpyxl import Workbook

from jobs.build_sheet.exchange.read import MOST_ROWS, BuildFileError, read_build


def book(**sheets):
    made = Workbook()
    made.remove(made.active)
    for title, rows in sheets.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
    target = io.BytesIO()
    made.save(target)
    return target.getvalue()


def test_a_workbook_gives_entries_with_their_row():
    build = read_build(
        "b.xlsx",
        book(
            job=[["number", "rule_set"], ["X", "fire-ems"]],
            circuits=[
                ["ref", "Length FT"],
                ["A-01", 12.5],
                [None, None],
                ["# note", 1],
                ["A-02", 3],
            ],
        ),
    )
    assert build.rule_set == "fire-ems"
    assert [entry.place("length_ft") for entry in build.tables["circuits"]] == [
        "sheet circuits, row 2, column length_ft",
        "sheet circuits, row 5, column length_ft",
    ]
    assert build.tables["circuits"][0].cells == {"ref": "A-01", "length_ft": "12.5"}


def test_an_unknown_sheet_and_an_unknown_table_are_problems():
    words = str(read_build("b.xlsx", book(circuitz=[["ref"]])).problems[0])
    assert words.startswith("sheet circuitz: circuitz is no sheet of a build file (known: units")
    data = {"format": "build", "version": 1, "wires": [], "circuits": {}, "feeds": [3]}
    found = [str(each) for each in read_build("b.json", json.dumps(data).encode()).problems]
    assert found[0].startswith("wires: wires is no table")
    assert found[1:] == [
        "circuits: must be a list of rows.",
        "feeds[0]: must be an object of columns.",
    ]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "neither XLSX nor JSON"),
        (b"[]", 'must be an object with "format": "build"'),
        (b'{"format": "build", "version": 2}', '"version": 1'),
        (b'{"format": "build", "version": 1, "circuits": [{"length_ft": NaN}]}', "NaN is not a"),
        (b"\xff\xfe\x00", "neither XLSX nor JSON"),
        (b"PK\x03\x04 cut off", "damaged"),
        (b"[" * 100_000, "neither XLSX nor JSON"),
        (b" " * (8 * 1024 * 1024 + 1), "at most 8 MB"),
    ],
)
def test_a_file_that_is_no_build_is_refused_with_a_sentence(content, words):
    with pytest.raises(BuildFileError, match="b") as caught:
        read_build("b", content)
    assert words in str(caught.value)


def test_a_table_that_would_hold_up_the_shop_is_refused():
    """Each row is a form and a write; a million of them would keep everybody waiting."""
    rows = [{"ref": f"C-{number}"} for number in range(MOST_ROWS + 1)]
    data = {"format": "build", "version": 1, "circuits": rows}
    with pytest.raises(BuildFileError, match="circuits has 2,001 rows; at most 2,000 are read"):
        read_build("b.json", json.dumps(data).encode())
    sheet = book(circuits=[["ref"], *([row["ref"]] for row in rows)])
    with pytest.raises(BuildFileError, match="circuits has 2,001 rows; at most 2,000 are read"):
        read_build("b.xlsx", sheet)
    data["circuits"] = rows[:-1]
    assert len(read_build("b.json", json.dumps(data).encode()).tables["circuits"]) == MOST_ROWS
