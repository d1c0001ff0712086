"""Lamp heads: one winner in each state, and the cells that never come about."""

from jobs.controls.heads import Cell, head_tables
from jobs.controls.logic import Logic
from jobs.controls.model import Model
from jobs.controls.proofs import prove_all
from jobs.controls.results import Proved, Refuted
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_logic

COLOURS = {"name": "C", "label": "colours", "kind": "colour_within_profile"}


def logic_of(*patterns: tuple[str, str, str], **more: object) -> Logic:
    head = {
        "name": "H",
        "label": "rear head",
        "zone": "rear",
        "colours": ["red", "amber", "white"],
        "patterns": [
            {"name": name, "when": when, "colours": [colour]} for name, when, colour in patterns
        ],
    }
    return small_logic(heads=[head], **more)


def test_each_possible_combination_has_one_row_and_the_first_asked_wins() -> None:
    logic = logic_of(("arrow", "TONE", "amber"), ("warning", "UP", "red"))
    table = head_tables(Model(logic))[0]
    assert {row.asked: row.winner for row in table.rows} == {
        (): "",
        ("arrow",): "arrow",
        ("warning",): "warning",
        ("arrow", "warning"): "arrow",
    }
    assert (table.impossible, table.never_shown, table.complete) == (0, (), True)
    assert all(row.cell is Cell.REACHED for row in table.rows)


def test_combinations_that_signals_exclude_are_counted_as_impossible() -> None:
    logic = logic_of(("p", "GEAR is P", "red"), ("r", "GEAR is R", "amber"))
    table = head_tables(Model(logic))[0]
    assert len(table.rows) == 3
    assert table.impossible == 1


def test_a_pattern_that_always_loses_is_named() -> None:
    logic = logic_of(("any", "UP OR TONE", "red"), ("both", "UP AND TONE", "amber"))
    assert head_tables(Model(logic))[0].never_shown == ("both",)


def test_a_combination_that_only_memory_excludes_is_never_reached() -> None:
    """Two latches that release each other are never on together."""
    rules = [
        {"name": "A", "output": "MAST", "when": "UP pressed", "reset": "TONE"},
        {"name": "B", "output": "SIREN", "when": "TONE", "reset": "NOT TONE"},
    ]
    logic = logic_of(("one", "MAST", "red"), ("two", "SIREN", "amber"), rules=rules)
    cells = {row.asked: row.cell for row in head_tables(Model(logic))[0].rows}
    assert cells.get(("one", "two"), Cell.NEVER_REACHED) is Cell.NEVER_REACHED
    assert cells["one",] is Cell.REACHED


def test_an_example_state_comes_with_each_row() -> None:
    logic = logic_of(("warning", "UP", "red"))
    rows = {row.winner: row for row in head_tables(Model(logic))[0].rows}
    example = rows["warning"].example
    assert example is not None
    assert [(each.signal, each.value) for each in example.settings] == [("UP", "on")]


def test_a_colour_outside_the_profile_is_refuted_only_where_it_can_be_shown() -> None:
    profile = [{"zone": "rear", "colours": ["red", "amber"]}]
    shown = logic_of(("scene", "UP", "white"), profile=profile, interlocks=[COLOURS])
    result = prove_all(shown)[0][1]
    assert isinstance(result, Refuted)
    assert result.counterexample.sentence == (
        "Mast button is pressed. Rear head shows white, not all allowed in zone rear."
    )
    hidden = logic_of(
        ("any", "UP", "red"),
        ("scene", "UP AND TONE", "white"),
        profile=profile,
        interlocks=[COLOURS],
    )
    assert isinstance(prove_all(hidden)[0][1], Proved)


def test_every_pattern_of_the_demo_is_shown_somewhere() -> None:
    tables = head_tables(Model(demo_logic("1.3")))
    assert len(tables) == 8
    assert all(table.never_shown == () and table.complete for table in tables)
    for table in tables:
        asked = [row.asked for row in table.rows]
        assert len(asked) == len(set(asked))
        assert all(row.winner == (row.asked[0] if row.asked else "") for row in table.rows)
