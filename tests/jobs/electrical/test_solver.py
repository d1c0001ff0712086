"""The network solver: against ngspice, by hand, its laws, and where it must not answer."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.electrical.network import Branch, Demand, Network, NoOperatingPoint, Solved, Source
from jobs.electrical.solver import load_current_a, solve
from tests.jobs.electrical.networks import random_network
from tests.jobs.electrical.ngspice import voltages


def single(
    resistance_ohm: float,
    *,
    volts: float = 12.0,
    amps: float = 0,
    watts: float = 0,
    siemens: float = 0,
) -> Solved | NoOperatingPoint:
    """One load behind one resistance."""
    network = Network(
        size=2,
        branches=(Branch(a=0, b=1, resistance_ohm=resistance_ohm),),
        sources=(Source(node=0, voltage_v=volts),),
    )
    demand = Demand(current_a=(0, amps), power_w=(0, watts), conductance_s=(0, siemens))
    return solve(network, demand)


def drawn(demand: Demand, answer: Solved) -> float:
    return sum(load_current_a(demand, node, v) for node, v in enumerate(answer.voltage_v))


@pytest.mark.slow
@pytest.mark.parametrize("batch", range(10))
def test_agrees_with_ngspice_on_trees_rings_and_several_sources(batch, tmp_path):
    """210 networks in all, 1 to 90 loads; within a millionth of a volt at every node."""
    for index in range(21):
        seed = 1000 * batch + index
        network, demand = random_network(
            seed, loads=1 + seed % 90, rings=(0, 0, 1, 3)[index % 4], sources=1 + index % 3
        )
        ours = solve(network, demand)
        assert isinstance(ours, Solved), seed
        theirs = voltages(network, demand, tmp_path)
        worst = max(abs(a - b) for a, b in zip(ours.voltage_v, theirs, strict=True))
        assert worst < 1e-6, seed


def test_two_batteries_joined_share_the_load_as_kirchhoff_says():
    """12.8 V and 12.4 V behind 10 mohm each, joined by 20 mohm, 30 A at the first."""
    network = Network(
        size=2,
        branches=(Branch(a=0, b=1, resistance_ohm=0.02),),
        sources=(
            Source(node=0, voltage_v=12.8, resistance_ohm=0.01),
            Source(node=1, voltage_v=12.4, resistance_ohm=0.01),
        ),
    )
    answer = solve(network, Demand(current_a=(30, 0), power_w=(0, 0), conductance_s=(0, 0)))
    first = (12.8 / 0.01 + 12.4 / 0.03 - 30) / (1 / 0.01 + 1 / 0.03)
    assert answer.voltage_v[0] == pytest.approx(first)
    assert sum(answer.source_a) == pytest.approx(30)
    assert answer.source_a[0] == pytest.approx((12.8 - first) / 0.01)


@pytest.mark.parametrize(
    ("load", "volts"),
    [
        ({"amps": 10}, 12 - 0.1 * 10),
        ({"siemens": 1}, 12 / 1.1),
        ({"watts": 100}, (12 + (12**2 - 4 * 0.1 * 100) ** 0.5) / 2),
    ],
)
def test_one_load_by_hand(load, volts):
    assert single(0.1, **load).voltage_v[1] == pytest.approx(volts)


def test_a_constant_power_load_is_answered_on_its_upper_branch():
    """Two voltages satisfy the equation; started from 0 V a simulator finds the lower, 0.89 V."""
    lower = (12 - (12**2 - 4 * 0.1 * 100) ** 0.5) / 2
    assert lower == pytest.approx(0.901, abs=0.001)
    assert single(0.1, watts=100).voltage_v[1] > 11


@pytest.mark.parametrize("share", [0.5, 0.9, 0.99, 0.9999])
def test_up_to_the_most_power_a_wire_can_pass_there_is_an_answer(share):
    """At V^2 / 4R the voltage at the load is half the supply's."""
    most = 12**2 / (4 * 0.1)
    answer = single(0.1, watts=share * most)
    assert answer.voltage_v[1] == pytest.approx(6 * (1 + (1 - share) ** 0.5))


@pytest.mark.parametrize("share", [1.0001, 1.01, 2.0, 1000.0])
def test_past_the_most_power_there_is_no_number(share):
    most = 12**2 / (4 * 0.1)
    answer = single(0.1, watts=share * most)
    assert isinstance(answer, NoOperatingPoint)
    assert answer.node == 1


def test_a_constant_current_the_wire_cannot_pass_has_no_answer():
    assert isinstance(single(0.1, amps=121), NoOperatingPoint)
    assert single(0.1, amps=119).voltage_v[1] == pytest.approx(0.1)


def test_collapse_inside_a_ring_has_no_answer():
    network, demand = random_network(7, loads=20, rings=3)
    heavy = replace(demand, power_w=tuple(1000 * watts for watts in demand.power_w))
    assert isinstance(solve(network, heavy), NoOperatingPoint)


def test_a_loop_without_a_source_is_dark():
    network = Network(
        size=5,
        branches=(
            Branch(a=0, b=1, resistance_ohm=0.1),
            Branch(a=2, b=3, resistance_ohm=0.1),
            Branch(a=3, b=4, resistance_ohm=0.1),
            Branch(a=4, b=2, resistance_ohm=0.1),
        ),
        sources=(Source(node=0, voltage_v=12),),
    )
    demand = Demand(current_a=(0, 1, 0, 2, 0), power_w=(0, 0, 0, 0, 5), conductance_s=(0,) * 5)
    answer = solve(network, demand)
    assert answer.voltage_v[2:] == (0, 0, 0)
    assert answer.source_a == pytest.approx((1,))


def test_no_source_at_all_is_dark():
    network = Network(size=2, branches=(Branch(a=0, b=1, resistance_ohm=1),), sources=())
    answer = solve(network, Demand(current_a=(0, 1), power_w=(0, 1), conductance_s=(0, 1)))
    assert answer.voltage_v == (0, 0)


@pytest.mark.parametrize(
    "build",
    [
        lambda: Network(size=2, branches=(Branch(a=0, b=1, resistance_ohm=0.0),), sources=()),
        lambda: Network(size=2, branches=(Branch(a=0, b=1, resistance_ohm=-1),), sources=()),
        lambda: Network(
            size=2, branches=(Branch(a=0, b=1, resistance_ohm=float("nan")),), sources=()
        ),
        lambda: Network(size=1, branches=(Branch(a=0, b=0, resistance_ohm=1),), sources=()),
        lambda: Network(
            size=1,
            branches=(),
            sources=(Source(node=0, voltage_v=12), Source(node=0, voltage_v=13)),
        ),
        lambda: Network(
            size=1, branches=(), sources=(Source(node=0, voltage_v=12, resistance_ohm=-1),)
        ),
    ],
)
def test_a_network_that_cannot_be_is_refused(build):
    with pytest.raises(ValueError, match=r"resistance|same node|both ends"):
        build()


seeds = st.integers(min_value=0, max_value=10_000)
few = settings(max_examples=60)


@few
@given(seed=seeds, loads=st.integers(1, 40), rings=st.integers(0, 3), sources=st.integers(1, 3))
def test_sources_deliver_what_loads_take(seed, loads, rings, sources):
    network, demand = random_network(seed, loads=loads, rings=rings, sources=sources)
    answer = solve(network, demand)
    assert isinstance(answer, Solved)
    assert sum(answer.source_a) == pytest.approx(drawn(demand, answer), abs=1e-6)


@few
@given(seed=seeds, share=st.floats(min_value=0.1, max_value=0.99))
def test_thicker_wire_never_lowers_a_voltage(seed, share):
    """On a tree whose loads keep current or power. A resistive load on the thicker wire takes more
    and so may lower its neighbours, and in a ring one side may feed the other: both are physics."""
    network, demand = random_network(seed, loads=12)
    demand = replace(demand, conductance_s=(0.0,) * network.size)
    branches = list(network.branches)
    at = seed % len(branches)
    branches[at] = replace(branches[at], resistance_ohm=branches[at].resistance_ohm * share)
    before = solve(network, demand)
    after = solve(replace(network, branches=tuple(branches)), demand)
    pairs = zip(before.voltage_v, after.voltage_v, strict=True)
    assert all(new >= old - 1e-9 for old, new in pairs)


@few
@given(seed=seeds, scale=st.floats(min_value=1e-3, max_value=1e3))
def test_millivolts_and_milliohms_give_the_same_answer(seed, scale):
    """Volts and ohms both times `scale`: currents stay, voltages scale, power scales with them."""
    network, demand = random_network(seed, loads=10, rings=1)
    other = replace(
        network,
        branches=tuple(
            replace(item, resistance_ohm=item.resistance_ohm * scale) for item in network.branches
        ),
        sources=tuple(
            replace(
                item,
                voltage_v=item.voltage_v * scale,
                resistance_ohm=item.resistance_ohm * scale,
            )
            for item in network.sources
        ),
    )
    scaled = Demand(
        current_a=demand.current_a,
        power_w=tuple(watts * scale for watts in demand.power_w),
        conductance_s=tuple(value / scale for value in demand.conductance_s),
    )
    one, two = solve(network, demand), solve(other, scaled)
    for a, b in zip(one.voltage_v, two.voltage_v, strict=True):
        assert b / scale == pytest.approx(a, abs=1e-6)


def test_a_tree_takes_two_passes_a_step_and_few_steps():
    """Growth as a count of operations: steps do not grow with the network."""
    counts = []
    for loads in (50, 100, 200):
        network, demand = random_network(3, loads=loads)
        light = replace(demand, power_w=tuple(50 * watts / loads for watts in demand.power_w))
        answer = solve(network, replace(light, current_a=(0.0,) * network.size))
        counts.append(answer.iterations)
    assert max(counts) <= 6
