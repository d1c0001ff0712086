import pytest

from jobs.build_sheet.rule_words import ampacity_rows, insulations, limit_rows
from jobs.electrical.rule_sets.catalog import RULE_SETS
from jobs.sources import SOURCE_BY_ID


@pytest.mark.parametrize("rules", RULE_SETS.values(), ids=lambda rules: rules.key)
def test_every_limit_names_a_known_source(rules):
    rows = limit_rows(rules)
    assert len({row.name for row in rows}) == len(rows)
    assert all(row.source in SOURCE_BY_ID and row.status for row in rows)


def test_ampacity_rows_hold_every_value_of_the_table():
    rules = RULE_SETS["33cfr183"]
    cells = [cell for row in ampacity_rows(rules) for cell in row.cells if cell]
    assert len(cells) == len(rules.ampacity)
    assert insulations(rules) == tuple(sorted(insulations(rules)))


def test_distances_are_shown_in_inches():
    words = {row.name: row.value for row in limit_rows(RULE_SETS["33cfr183"])}
    assert words["Device from source, open conductor"] == "7 in"
    assert words["Engine off, usual time"] == "10 min"
