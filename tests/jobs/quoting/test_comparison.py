from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from jobs.quoting.comparison import Side, compare, total_change_cents

LAMP = Side(
    kind="part",
    section="Warning lights",
    name="L01",
    description="Lamp",
    quantity=Decimal(2),
    minutes=60,
    unit_cents=5_000,
    discount_bp=0,
    amount_cents=10_000,
    counts=True,
)
SIDES = st.lists(
    st.builds(
        replace,
        st.just(LAMP),
        name=st.sampled_from(["L01", "L02", "L03"]),
        kind=st.sampled_from(["part", "option", "freight"]),
        amount_cents=st.integers(-1_000_000, 1_000_000),
        counts=st.booleans(),
    ),
    max_size=8,
)


def total(sides):
    return sum(side.amount_cents for side in sides if side.counts)


@given(SIDES, SIDES)
def test_changes_add_up_to_the_difference_of_the_totals(before, after):
    assert total_change_cents(compare(before, after)) == total(after) - total(before)


@given(SIDES, SIDES)
def test_every_line_of_both_revisions_appears_once(before, after):
    changes = compare(before, after)
    assert [c.after for c in changes if c.after] == after
    assert sorted(map(str, (c.before for c in changes if c.before))) == sorted(map(str, before))


@given(SIDES)
def test_a_revision_does_not_differ_from_itself(sides):
    assert {change.word for change in compare(sides, sides)} <= {"same"}


def test_words_say_what_happened():
    dearer = replace(LAMP, amount_cents=11_000)
    new = replace(LAMP, name="L02")
    gone = replace(LAMP, name="L09")
    changes = compare([LAMP, gone], [dearer, new])
    assert [(c.word, c.either.name, c.change_cents) for c in changes] == [
        ("changed", "L01", 1_000),
        ("added", "L02", 10_000),
        ("removed", "L09", -10_000),
    ]


def test_an_option_that_is_taken_changes_the_total_by_its_price():
    option = replace(LAMP, kind="option", counts=False)
    (change,) = compare([option], [replace(option, counts=True)])
    assert (change.word, change.change_cents) == ("changed", 10_000)
