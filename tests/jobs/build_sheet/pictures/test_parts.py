from jobs.build_sheet.pictures.parts import sheets_of
from tests.drawings import circuit


def test_sheets_of_cuts_rows_and_gives_one_empty_sheet_for_none():
    assert sheets_of([1, 2, 3], 2) == [[1, 2], [3]]
    assert sheets_of([], 2) == [[]]


def test_run_says_colour_and_length_under_its_wire():
    assert circuit(1, colour="pink", length="14 ft").under_wire == "pink 14 ft"
    assert circuit(1, colour="", length="no length").under_wire == "no length"
