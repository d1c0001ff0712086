from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from jobs.buying.allocate import Need, allocate

needs = st.lists(
    st.builds(
        Need,
        job=st.sampled_from(["J-1", "J-2", "J-3"]),
        ref=st.sampled_from(["L01", "L02"]),
        pieces=st.integers(1, 20),
        by=st.none() | st.dates(date(2026, 1, 1), date(2026, 12, 31)),
    ),
    max_size=12,
)


@given(needs, st.integers(-5, 60), st.integers(0, 60))
def test_nothing_is_given_twice_and_nothing_is_lost(wanted, stock, orders):
    shares = allocate(wanted, in_stock=stock, on_order=orders)
    assert sum(one.from_stock for one in shares) <= max(0, stock)
    assert sum(one.from_orders for one in shares) <= orders
    assert all(min(one.from_stock, one.from_orders, one.short) >= 0 for one in shares)
    pieces = sum(need.pieces for need in wanted)
    assert sum(one.short for one in shares) == max(0, pieces - max(0, stock) - orders)


@given(needs, st.integers(0, 60))
def test_who_needs_it_later_gets_nothing_while_somebody_earlier_lacks(wanted, stock):
    shares = allocate(wanted, in_stock=stock, on_order=0)
    lacking = [place for place, one in enumerate(shares) if one.short]
    if lacking:
        assert all(one.from_stock == 0 for one in shares[lacking[0] + 1 :])


def test_dated_needs_come_before_those_without_a_day():
    first = Need(job="J-9", ref="L01", pieces=1, by=date(2026, 5, 1))
    last = Need(job="J-1", ref="L01", pieces=1)
    assert [one.need for one in allocate([last, first], in_stock=0, on_order=0)] == [first, last]
