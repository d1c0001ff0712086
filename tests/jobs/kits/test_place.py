from hypothesis import given
from hypothesis import strategies as st

from jobs.kits.place import OWN, pick, place

EMPTY = {name: [] for name in ("supplies", "feeds", "nodes", "lines", "circuits", "loads", "modes",
                               "duty")}  # fmt: skip
BUILD = {
    **EMPTY,
    "supplies": [{"ref": "MAIN"}, {"ref": "AUX"}],
    "feeds": [
        {"ref": "A", "supply": "MAIN", "second_supply": None},
        {"ref": "B", "supply": "AUX", "second_supply": None},
    ],
    "nodes": [{"ref": "N1", "feed": "A", "line": "L03"}],
    "lines": [{"ref": "L01"}, {"ref": "L02"}, {"ref": "L03"}],
    "circuits": [
        {"ref": "A-01", "feed": "A", "node": "N1", "label": "A-01"},
        {"ref": "B-01", "feed": "B", "node": None, "label": "X"},
    ],
    "loads": [
        {"circuit": "A-01", "line": "L01", "function": "on"},
        {"circuit": "B-01", "line": "L02", "function": "on"},
    ],
    "modes": [{"key": "respond"}],
    "duty": [{"mode": "respond", "circuit": "A-01"}, {"mode": "respond", "circuit": "B-01"}],
}


def refs(tables, name):
    return [row["ref"] for row in tables.get(name, [])]


def test_a_kit_takes_the_circuits_of_its_lines_and_what_feeds_them():
    kit = pick(BUILD, {"L01"})
    assert [refs(kit, name) for name in ("lines", "circuits", "feeds", "supplies")] == [
        ["L01"], ["A-01"], ["A"], ["MAIN"],
    ]  # fmt: skip
    assert kit["duty"] == [{"mode": "respond", "circuit": "A-01"}]


def test_a_node_whose_part_stays_behind_comes_without_it():
    assert pick(BUILD, {"L01"})["nodes"] == [{"ref": "N1", "feed": "A", "line": None}]
    assert pick(BUILD, {"L01", "L03"})["nodes"][0]["line"] == "L03"


def test_on_an_empty_job_every_name_stays():
    placed = place(pick(BUILD, {"L01", "L02"}), EMPTY)
    assert refs(placed.tables, "lines") == ["L01", "L02"]
    assert refs(placed.tables, "feeds") == ["A", "B"]


def test_names_that_are_taken_go_on_counting_and_loads_follow():
    placed = place(pick(BUILD, {"L01"}), BUILD)
    assert refs(placed.tables, "lines") == ["L04"]
    assert refs(placed.tables, "circuits") == ["A-02"]
    assert placed.tables["circuits"][0]["label"] == "A-02"
    assert placed.tables["loads"] == [{"circuit": "A-02", "line": "L04", "function": "on"}]
    assert "feeds" not in placed.tables


def test_duty_of_a_mode_that_the_job_lacks_stays_behind():
    assert "duty" not in place(pick(BUILD, {"L01"}), EMPTY).tables


names = st.sampled_from([f"L{n:02d}" for n in range(1, 30)] + ["X", "A-1", "A-09"])


@given(st.sets(names), st.lists(names, unique=True))
def test_no_two_rows_ever_share_a_name(have, wanted):
    kit = {"lines": [{"ref": ref} for ref in wanted]}
    placed = place(kit, {**EMPTY, "lines": [{"ref": ref} for ref in have]})
    given_names = refs(placed.tables, "lines")
    assert len(set(given_names)) == len(wanted)
    assert not set(given_names) & have
    assert set(placed.names) == set(OWN)
