from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from catalog.datasheet import (
    Change,
    Datasheet,
    changes,
    draw_problems,
    fact_problems,
    limit_problems,
    merged,
    of_revision,
    settled,
)
from tests.factories import make_datasheet, make_part


def with_facts(sheet: Datasheet, **facts) -> Datasheet:
    return replace(sheet, facts={**sheet.facts, **facts})


def with_draw(sheet: Datasheet, key: tuple[str, str], **values) -> Datasheet:
    function, colour = key
    row = {**sheet.draws.get(key, {}), "function": function, "colour": colour, **values}
    return replace(sheet, draws={**sheet.draws, key: row})


def test_a_datasheet_survives_the_database(db):
    sheet = make_datasheet(
        draws=[{"average_ma": 300, "peak_ma": 300, "standby_ua": 3000}],
        limits=[{"what": "channel", "label": "1 to 4", "limit_ma": 25_000, "count": 4}],
        kind="control",
        note="Two lines\nof note",
    )
    part = make_part(draws=sheet.draws.values(), limits=sheet.limits.values(), **sheet.facts)
    assert of_revision(part.current) == sheet


def test_changes_name_field_old_and_new_in_trade_units():
    old = make_datasheet()
    new = with_draw(with_facts(old, list_price_cents=15_250), ("on", "red"), peak_ma=2000)
    assert changes(old, new) == [
        Change(what="List price", old="$148.00", new="$152.50"),
        Change(what="Current, on red: peak", old="1.8 A", new="2 A"),
    ]


def test_added_and_removed_rows_are_told_whole():
    old = make_datasheet()
    new = replace(old, draws={})
    gone = changes(old, new)
    assert [change.what for change in gone] == ["Current, on red"]
    assert gone[0].old == "average 0.9 A, peak 1.8 A, constant current"
    assert gone[0].new == ""
    assert changes(new, old)[0].new == gone[0].old


def test_a_weight_that_reads_the_same_is_no_change():
    old = make_datasheet(mass_g=Decimal("272.150"))
    typed = make_datasheet(mass_g=Decimal("272.155"))  # both show 0.6 lb
    assert settled(typed, old) == old
    assert changes(old, typed) == []


def test_merging_keeps_both_peoples_changes():
    base = make_datasheet()
    mine = with_facts(base, list_price_cents=15_000)
    theirs = with_draw(base, ("on", "white"), average_ma=800, peak_ma=1600)
    both = merged(base=base, mine=mine, theirs=theirs)
    assert both.facts["list_price_cents"] == 15_000
    assert ("on", "white") in both.draws


def test_merging_inside_one_row_works_figure_by_figure():
    base = make_datasheet()
    mine = with_draw(base, ("on", "red"), average_ma=950)
    theirs = with_draw(base, ("on", "red"), peak_ma=1900)
    row = merged(base=base, mine=mine, theirs=theirs).draws["on", "red"]
    assert (row["average_ma"], row["peak_ma"]) == (950, 1900)


def test_where_both_changed_the_same_figure_mine_is_proposed():
    base = make_datasheet()
    mine, theirs = (with_facts(base, list_price_cents=cents) for cents in (1, 2))
    assert merged(base=base, mine=mine, theirs=theirs).facts["list_price_cents"] == 1


def test_a_row_that_one_removed_and_the_other_changed_stays():
    base = make_datasheet()
    gone = replace(base, draws={})
    changed = with_draw(base, ("on", "red"), peak_ma=1900)
    for mine, theirs in ((gone, changed), (changed, gone)):
        kept = merged(base=base, mine=mine, theirs=theirs).draws["on", "red"]
        assert kept["peak_ma"] == 1900


def test_a_row_that_one_removed_and_nobody_touched_goes():
    base = make_datasheet()
    gone = replace(base, draws={})
    assert merged(base=base, mine=gone, theirs=base).draws == {}
    assert merged(base=base, mine=base, theirs=gone).draws == {}


SHEETS = st.builds(
    lambda price, cost, rows: replace(
        make_datasheet(draws=[{"colour": c, "average_ma": a} for c, a in rows.items()]),
        facts={**make_datasheet().facts, "list_price_cents": price, "cost_cents": cost},
    ),
    st.integers(0, 3),
    st.none() | st.integers(0, 3),
    st.dictionaries(st.sampled_from(["red", "white", "amber"]), st.none() | st.integers(0, 2)),
)


@given(base=SHEETS, other=SHEETS)
def test_merging_with_somebody_who_changed_nothing_changes_nothing(base, other):
    assert merged(base=base, mine=other, theirs=base) == other
    assert changes(other, merged(base=base, mine=base, theirs=other)) == []


@given(old=SHEETS, new=SHEETS)
def test_no_changes_means_the_same_datasheet(old, new):
    assert (changes(old, new) == []) == (settled(new, old) == old)


def test_contradicting_figures_are_named():
    assert list(fact_problems({"supply_min_mv": 16_000, "supply_max_mv": 9_000})) == [
        ("supply_max_mv", "9 V is below the least supply voltage of 16 V.")
    ]
    assert list(draw_problems({"average_ma": 9_500, "peak_ma": 5_000})) == [
        ("peak_ma", "5 A is below the average of 9.5 A.")
    ]
    assert list(draw_problems({"average_ma": 9_500, "peak_ma": None})) == []
    assert list(limit_problems({"limit_ma": 0})) == [
        ("limit_ma", "0 A is no limit. It must be above 0 A.")
    ]
