"""The elimination order: no fill on trees, rings apart, nothing lost."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.electrical.elimination import plan
from jobs.electrical.network import Branch, Network, Source
from tests.jobs.electrical.networks import random_network


@settings(max_examples=40)
@given(seed=st.integers(0, 5000), rings=st.integers(0, 4), sources=st.integers(1, 3))
def test_every_reached_node_has_its_turn_once(seed, rings, sources):
    network, _ = random_network(seed, loads=15, rings=rings, sources=sources)
    order = plan(network)
    turns = [*order.tree] + [node for node, _ in order.rings]
    assert sorted(turns) == sorted(order.reached)
    assert len(order.reached) + len(order.held) == network.size


@pytest.mark.parametrize("sources", [1, 2, 3])
def test_a_tree_has_no_ring_steps_however_many_sources(sources):
    network, _ = random_network(5, loads=30, sources=sources)
    assert plan(network).rings == ()


def test_a_ring_of_three_is_eliminated_last():
    network = Network(
        size=5,
        branches=(
            Branch(a=0, b=1, resistance_ohm=1),
            Branch(a=1, b=2, resistance_ohm=1),
            Branch(a=2, b=3, resistance_ohm=1),
            Branch(a=3, b=1, resistance_ohm=1),
            Branch(a=3, b=4, resistance_ohm=1),
        ),
        sources=(Source(node=0, voltage_v=12),),
    )
    order = plan(network)
    assert order.tree == (4,)
    assert {node for node, _ in order.rings} == {1, 2, 3}


def test_parts_that_no_source_reaches_are_left_out():
    """Nodes 2-3 hang together, 4-5-6 make a ring; only 0-1 has a source."""
    ends = [(0, 1), (2, 3), (4, 5), (5, 6), (6, 4)]
    network = Network(
        size=7,
        branches=tuple(Branch(a=a, b=b, resistance_ohm=1) for a, b in ends),
        sources=(Source(node=0, voltage_v=12, resistance_ohm=0.01),),
    )
    order = plan(network)
    assert set(order.reached) == set(order.tree) == {0, 1}
    assert order.rings == ()
    assert all(order.base_diagonal[node] == 0 for node in range(2, 7))


def test_two_conductors_side_by_side_count_as_their_sum():
    network = Network(
        size=3,
        branches=(
            Branch(a=0, b=1, resistance_ohm=1),
            Branch(a=1, b=2, resistance_ohm=0.5),
            Branch(a=2, b=1, resistance_ohm=0.25),
        ),
        sources=(Source(node=0, voltage_v=12),),
    )
    order = plan(network)
    assert order.ring_conductance == {(1, 2): 6.0, (2, 1): 6.0}
    assert {node for node, _ in order.rings} == {1, 2}
