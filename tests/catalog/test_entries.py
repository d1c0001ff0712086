import pytest

from catalog.entries import Entry, read_entries
from tests.catalog.hostile import csv_of

FULL = (
    "code,description,list_usd,"
    "function,colour,load_model,average_a,peak_a,standby_ma,inrush_a,inrush_ms,"
    "limit_of,limit_label,limit_a,limit_count"
)


def entries(*rows: str, header: str = FULL) -> list[Entry]:
    found, sheet = read_entries(name="parts.csv", content=csv_of(*rows, header=header))
    assert sheet.problems == []
    return found


def problems(*rows: str, header: str = FULL) -> list[str]:
    return [
        str(problem)
        for problem in read_entries(name="parts.csv", content=csv_of(*rows, header=header))[
            1
        ].problems
    ]


def test_one_part_takes_a_row_for_each_current_and_each_limit():
    bar, node = entries(
        "BAR,Bar,10,on,red,,9.5,19,,,,,,,",
        "BAR,,,on,white,,8.8,17.6,,,,,,,",
        "NODE,Node,20,on,,power,0.3,0.3,3,,,channel,1 to 4,25,4",
        ",,,,,,,,,,,module,,80,",
    )
    assert bar.draws["on", "red"]["average_ma"] == 9500
    assert list(bar.draws) == [("on", "red"), ("on", "white")]
    assert node.draws["on", ""]["standby_ua"] == 3000
    assert node.limits["channel", "1 to 4"]["count"] == 4
    assert node.limits["module", ""] == {
        "what": "module", "label": "", "limit_ma": 80_000, "count": 1,
    }  # fmt: skip


def test_columns_that_are_left_out_say_nothing():
    (entry,) = entries("bar,10", header="code,list_usd")
    assert (entry.code, entry.facts) == ("BAR", {"list_price_cents": 1000})
    assert entry.draws is None and entry.limits is None and entry.retired is None


def test_an_empty_cell_clears_and_an_empty_table_empties():
    (entry,) = entries("BAR,,", header="code,cost_usd,weight_lb")
    assert entry.facts == {"cost_cents": None, "mass_g": None}
    (entry,) = entries("BAR,Bar,10" + "," * 12)
    assert entry.draws == {} and entry.limits == {}


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        (["BAR,Bar,ten"], "Row 2, list_usd: ten is not a number. Type it in $."),
        (["BAR,Bar,-1"], "Row 2, list_usd: -1 $ is below 0."),
        (["BAR,Bar,1e400"], "Row 2, list_usd: 1e400 $ is above 1000000."),
        (['BAR,Bar,"2,140"'], "Row 2, list_usd: 2,140 can be read in two ways."),
        (["BAR,,10"], "Row 2, description: This needs a value."),
        (["B R,Bar,10"], "Row 2, code: B R is no part code."),
        ([",Bar,10"], "Row 2, code: This needs a value."),
        (["BAR,Bar,10", "OTHER,Other,1", "bar,Bar,10"], "Row 4, code: BAR stands on row 2"),
        (["BAR,Bar,10", "BAR,Bar,12"], "Row 3, list_usd: 12 differs from 10 on row 2"),
        (["BAR,Bar,10", "BAR,Bar,10"], "adds neither a current nor a limit"),
        (["BAR,Bar,10,,,,9.5"], "Row 2, function: This needs a value."),
        (["BAR,Bar,10,on,,,9.5,5"], "Row 2, peak_a: 5 A is below the average of 9.5 A."),
        (["BAR,Bar,10,on,,lamp"], "Row 2, load_model: lamp is not one of current, power"),
        (
            ["BAR,Bar,10,on,red,,1,1", "BAR,,,ON,Red,,2,2"],
            "Row 3, function: Current, on red of BAR stands on row 2 already.",
        ),
        (["BAR,Bar,10,,,,,,,,,module,,0"], "Row 2, limit_a: 0 A is no limit."),
        (["BAR,Bar,10,,,,,,,,,module,,5,0"], "Row 2, limit_count: 0 is below 1."),
    ],
)
def test_a_wrong_cell_is_named_with_row_column_value_and_limit(rows, sentence):
    found = problems(*rows)
    assert any(sentence in problem for problem in found), found


def test_ten_to_the_four_hundred_is_a_sentence_of_readable_length():
    (problem,) = problems(f"BAR,Bar,{'1' + '0' * 400}")
    assert len(problem) < 100 and "above 1000000" in problem


def test_every_wrong_cell_is_named_not_only_the_first():
    assert len(problems("BAR,,x,on,,,y,z", "B R,,1")) == 5


def test_a_row_after_a_wrong_code_is_not_given_to_the_part_before():
    found = problems("BAR,Bar,10,on,,,1,1", "B R,Other,1", ",,,low,,,2,2")
    assert found[-1].startswith("Row 4, code:")


def test_short_rows_and_a_code_column_on_the_right_are_read():
    (entry,) = entries("Bar,BAR", header="description,code,weight_lb")
    assert entry.code == "BAR" and entry.facts["mass_g"] is None
