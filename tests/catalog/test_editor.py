import pytest
from django.http import QueryDict

from catalog.editor import MOST_ROWS, PartEditor
from tests.factories import make_datasheet

pytestmark = pytest.mark.django_db


def sent(**typed: str) -> QueryDict:
    """What a browser sends: a complete part, with `typed` over it."""
    data = {
        "code": "p-1", "kind": "warning", "description": "Head", "list_price_cents": "148",
        "labour_minutes": "0.75", "draws-TOTAL_FORMS": "4", "draws-INITIAL_FORMS": "0",
        "limits-TOTAL_FORMS": "3", "limits-INITIAL_FORMS": "0",
        "draws-0-function": "on", "draws-0-colour": "Red", "draws-0-load_model": "current",
        "draws-0-average_ma": "0.9", "draws-0-peak_ma": "1.8",
        "draws-1-load_model": "power", "limits-0-count": "1",
    }  # fmt: skip
    query = QueryDict(mutable=True)
    query.update({**data, **{name.replace("__", "-"): text for name, text in typed.items()}})
    return query


def problems(**typed: str) -> list[str]:
    editor = PartEditor(sent(**typed), new=True)
    assert not editor.is_valid()
    return [sentence for _, sentence in editor.problems()]


def test_a_complete_part_is_read_in_stored_units():
    editor = PartEditor(sent(), new=True)
    assert editor.is_valid(), list(editor.problems())
    sheet = editor.datasheet()
    assert sheet.facts["list_price_cents"] == 14_800
    assert sheet.draws["on", "red"]["peak_ma"] == 1800
    assert len(sheet.draws) == 1 and sheet.limits == {}


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"code": "a b"}, "Code: A B is no part code"),
        ({"description": ""}, "Description: This needs a value."),
        ({"list_price_cents": "-1"}, "List price ($): -1 $ is below 0."),
        ({"labour_minutes": "1" + "0" * 400}, "Fitting time (h): 1000"),
        ({"supply_min_mv": "16", "supply_max_mv": "9"}, "9 V is below the least supply voltage"),
        ({"draws__0__peak_ma": "0.5"}, "Current row 1, Peak (A): 0.5 A is below the average"),
        ({"draws__2__average_ma": "1"}, "Current row 3, Function: This needs a value."),
        (
            {"draws__2__function": "ON", "draws__2__colour": "red"},
            "Current row 3, Function: Current, on red stands in row 1 already.",
        ),
        ({"limits__0__limit_ma": "5"}, "Limit row 1, Limit of: This needs a value."),
        ({"limits__0__what": "panel", "limits__0__limit_ma": "0"}, "0 A is no limit."),
        ({"draws__TOTAL_FORMS": "x"}, "The rows did not arrive completely."),
        ({"draws__TOTAL_FORMS": "900"}, f"There are more than {MOST_ROWS} rows."),
    ],
)
def test_a_wrong_entry_is_named_with_row_value_and_limit(typed, sentence):
    found = problems(**typed)
    assert any(sentence in problem for problem in found), found


def test_rows_ticked_for_removal_are_not_checked_and_not_kept():
    editor = PartEditor(sent(**{"draws-0-DELETE": "on", "draws-0-peak_ma": "bad"}), new=True)
    assert editor.is_valid(), list(editor.problems())
    assert editor.datasheet().draws == {}


def test_rows_that_were_emptied_are_gone():
    typed = {f"draws-0-{name}": "" for name in ("function", "colour", "average_ma", "peak_ma")}
    editor = PartEditor(sent(**typed), new=True)
    assert editor.is_valid() and editor.datasheet().draws == {}


def test_more_rows_keep_what_was_typed_unchecked():
    editor = PartEditor(sent(code="a b", **{"draws-2-average_ma": "half"}), new=True)
    again = editor.with_more_rows()
    assert not again.facts.is_bound
    assert again.about["code"].value() == "a b"
    assert [row["average_ma"].value() for row in again.draws.forms] == [
        "0.9", "half", None, None, None,
    ]  # fmt: skip
    assert len(again.limits.forms) == 3


def test_a_datasheet_fills_the_page_in_trade_units():
    editor = PartEditor(new=False, sheet=make_datasheet(), base_number=4)
    assert editor.facts["list_price_cents"].value() == "148"
    assert editor.draws.forms[0]["average_ma"].value() == "0.9"
    assert len(editor.draws.forms) == 4
    assert editor.about["base_number"].value() == 4


def test_rows_stop_at_the_most_there_may_be():
    rows = [{"colour": f"c{n}"} for n in range(MOST_ROWS - 1)]
    editor = PartEditor(new=False, sheet=make_datasheet(draws=rows))
    assert len(editor.draws.forms) == MOST_ROWS
