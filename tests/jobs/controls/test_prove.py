"""Proofs agree with a plain search through every state, by tables and by solver alike."""

from hypothesis import HealthCheck, given, settings

from jobs.controls import prove as prove_module
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Logic
from jobs.controls.model import Model
from jobs.controls.prove import prove
from jobs.controls.results import Proved, Refuted
from tests.jobs.controls.strategies import broken_by_search, logics

SLOW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def agrees(logic: Logic) -> None:
    interlock = logic.interlocks[0]
    result = prove(Model(logic), interlock)
    moments = broken_by_search(logic)
    if moments is None:
        assert isinstance(result, Proved)
        return
    assert isinstance(result, Refuted)
    assert len(result.counterexample.moments) == moments + 1
    replays(logic, result)


def replays(logic: Logic, result: Refuted) -> None:
    """Played on the machine, the counterexample breaks the interlock at its last moment only."""
    machine = Machine(logic)
    state = machine.start()
    broken = []
    for moment in result.counterexample.moments:
        outcome = machine.step(state, moment.settings)
        state = outcome.state
        broken.append(bool(outcome.broken))
    assert broken == [False] * (len(broken) - 1) + [True]


@SLOW
@given(logics(state=False))
def test_tables_agree_with_brute_force_without_state(logic: Logic) -> None:
    agrees(logic)


@SLOW
@given(logics())
def test_tables_agree_with_brute_force_with_latches_and_edges(logic: Logic) -> None:
    agrees(logic)


@SLOW
@given(logics(state=False))
def test_solver_agrees_with_brute_force_without_state(monkeypatch, logic: Logic) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", -1)
    agrees(logic)


@SLOW
@given(logics())
def test_solver_agrees_with_brute_force_with_latches_and_edges(monkeypatch, logic: Logic) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", -1)
    agrees(logic)
