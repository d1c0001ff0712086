"""Tables of lamp heads as they are kept, and read back in words."""

import json

from jobs.build_sheet.control.head_rows import head_row
from jobs.build_sheet.control.heads import tables
from jobs.controls.heads import head_tables
from jobs.controls.model import Model
from tests.jobs.controls.demo import demo_logic


def test_kept_tables_of_the_demo_read_back_with_one_winner_in_each_cell():
    logic = demo_logic("1.3")
    kept = json.loads(json.dumps([head_row(each) for each in head_tables(Model(logic))]))
    found = tables(logic, kept)
    assert [each.head.name for each in found] == [head.name for head in logic.heads]
    for table in found:
        asked = [cell.asked for cell in table.cells]
        assert len(asked) == len(set(asked)) == 1 << len(table.ranks)
        assert sum(cell.word == "Impossible" for cell in table.cells) == table.impossible
        reached = [cell for cell in table.cells if cell.word == "Reached"]
        assert all(cell.shows and cell.example for cell in reached)
        assert reached[0].shows == "dark"


def test_tables_of_heads_that_are_gone_are_left_out():
    logic = demo_logic("1.3")
    row = {"head": "GONE", "rows": [], "impossible": 0, "never_shown": [], "complete": True}
    assert tables(logic, [row]) == []
