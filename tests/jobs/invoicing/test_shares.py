import doctest

from hypothesis import given
from hypothesis import strategies as st

from jobs.invoicing import shares
from jobs.invoicing.shares import next_share, up_to

totals = st.integers(-(10**10), 10**10)


@given(totals, st.integers(1, 60))
def test_the_invoices_of_all_units_are_the_contract(total, units):
    issued = []
    for count in range(1, units + 1):
        issued.append(next_share(total, units, count, sum(issued)))
    assert sum(issued) == total
    assert max(issued) - min(issued) <= 1


@given(st.lists(totals, min_size=1, max_size=20))
def test_a_contract_that_changes_between_invoices_ends_right(history):
    issued = []
    for count, total in enumerate(history, start=1):
        issued.append(next_share(total, len(history), count, sum(issued)))
    assert sum(issued) == history[-1]


@given(totals, st.integers(1, 60))
def test_shares_are_whole_cents_and_symmetrical(total, units):
    for count in range(units + 1):
        assert type(up_to(total, units, count)) is int
        assert up_to(total, units, count) == -up_to(-total, units, count)


def test_doctests_hold():
    assert doctest.testmod(shares).failed == 0
