"""What must hold for a node to be true, held against every state."""

import pytest
from hypothesis import given

from jobs.controls.broken import broken_node
from jobs.controls.circuit import FALSE, TRUE, Circuit
from jobs.controls.forced import forced
from jobs.controls.logic import Logic
from jobs.controls.model import Model
from jobs.controls.prove import Prover
from jobs.controls.tables import Tables
from tests.jobs.controls.strategies import logics


@given(logics(state=False))
def test_what_is_forced_holds_in_every_state_that_makes_the_node_true(logic: Logic) -> None:
    model = Model(logic)
    circuit = model.circuit
    broken = broken_node(model, logic.interlocks[0])
    wanted = (broken, *circuit.legal)
    tables = Tables(circuit, range(len(circuit.variables)))
    states = tables.all_of(wanted)
    found = forced(circuit, wanted)
    if found is None:
        assert not states
    else:
        for node, value in found.items():
            assert not states & (
                tables.everything ^ tables.table(node) if value else tables.table(node)
            )


@given(logics(state=False))
def test_the_quick_verdict_is_that_of_every_state(logic: Logic) -> None:
    model = Model(logic)
    broken = broken_node(model, logic.interlocks[0])
    tables = Tables(model.circuit, range(len(model.circuit.variables)))
    with Prover(model) as prover:
        assert prover.can_be(broken) == bool(tables.all_of((broken, *model.circuit.legal)))


@pytest.fixture
def circuit() -> Circuit:
    return Circuit()


def test_a_repeated_condition_contradicts_its_opposite(circuit: Circuit) -> None:
    a, b, c = (circuit.variable() for _ in range(3))
    rule = circuit.all_of((a, b, c))
    held = circuit.all_of((a, b))
    assert forced(circuit, (rule, circuit.negate(held))) is None


def test_the_last_way_left_is_forced(circuit: Circuit) -> None:
    a, b, c = (circuit.variable() for _ in range(3))
    found = forced(circuit, (circuit.any_of((a, b, c)), circuit.negate(a), circuit.negate(c)))
    assert found is not None and found[b] is True


def test_what_cannot_be_wanted_and_what_always_is(circuit: Circuit) -> None:
    assert forced(circuit, (FALSE,)) is None
    assert forced(circuit, (TRUE,)) == {TRUE: True, FALSE: False}


def test_a_free_choice_forces_nothing(circuit: Circuit) -> None:
    a, b = circuit.variable(), circuit.variable()
    found = forced(circuit, (circuit.any_of((a, b)),))
    assert found is not None and not {a, b} & found.keys()
