from hypothesis import given
from hypothesis import strategies as st

from inspections.checklists.chain import canonical, link, payload_sha256


def test_canonical_does_not_depend_on_the_order_of_keys():
    assert canonical({"b": 1, "a": "Łódź"}) == canonical({"a": "Łódź", "b": 1})


@given(st.text(), st.text())
def test_payload_sha256_differs_when_one_value_differs(first, second):
    same = payload_sha256({"v": first}) == payload_sha256({"v": second})
    assert same == (first == second)


def test_link_covers_previous_sequence_payload_and_outcome():
    base = {"previous": "a", "sequence": 2, "payload_sha": "c", "outcome_sha": "o"}
    changes = ({}, {"previous": "b"}, {"sequence": 3}, {"payload_sha": "d"}, {"outcome_sha": "p"})
    assert len({link(**{**base, **change}) for change in changes}) == len(changes)
