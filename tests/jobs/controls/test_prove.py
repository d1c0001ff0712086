"""Proofs agree with a plain search through every state, by tables and by solver alike."""

from random import Random

import pytest
import z3
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from jobs.controls import prove as prove_module
from jobs.controls.broken import broken_node
from jobs.controls.circuit import TRUE, Gate
from jobs.controls.codec import from_json
from jobs.controls.evaluate import Machine
from jobs.controls.logic import Logic
from jobs.controls.model import Model
from jobs.controls.proofs import prove_all
from jobs.controls.prove import Prover, prove
from jobs.controls.results import Proved, Refuted, TooLarge
from tests.jobs.controls.demo import demo_logic
from tests.jobs.controls.small import small_logic
from tests.jobs.controls.strategies import all_settings, broken_by_search, logics

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


@pytest.mark.slow
@SLOW
@given(logics(state=False))
def test_tables_agree_with_brute_force_without_state(logic: Logic) -> None:
    agrees(logic)


@pytest.mark.slow
@SLOW
@given(logics())
def test_tables_agree_with_brute_force_with_latches_and_edges(logic: Logic) -> None:
    agrees(logic)


@pytest.mark.slow
@SLOW
@given(logics(state=False))
def test_solver_agrees_with_brute_force_without_state(monkeypatch, logic: Logic) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", -1)
    agrees(logic)


@pytest.mark.slow
@SLOW
@given(logics())
def test_solver_agrees_with_brute_force_with_latches_and_edges(monkeypatch, logic: Logic) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", -1)
    agrees(logic)


@pytest.mark.slow
@SLOW
@given(logics(state=False))
def test_z3_agrees(logic: Logic) -> None:
    model = Model(logic)
    broken = broken_node(model, logic.interlocks[0])
    with Prover(model) as prover:
        possible = prover.can_be(broken)
    assert possible == satisfiable_by_z3(model, broken)
    assert possible == isinstance(prove(model, logic.interlocks[0]), Refuted)


def satisfiable_by_z3(model: Model, node: int) -> bool:
    circuit, made = model.circuit, dict[int, z3.BoolRef]()
    for each in circuit.cone([node, *circuit.legal]):
        made[each] = as_z3(circuit.gates[each], circuit.inputs[each], made, each)
    solver = z3.Solver()
    solver.add(made[node], *[made[each] for each in circuit.legal])
    return bool(solver.check() == z3.sat)


def as_z3(
    gate: Gate, inputs: tuple[int, ...], made: dict[int, z3.BoolRef], node: int
) -> z3.BoolRef:
    match gate:
        case Gate.CONSTANT:
            return z3.BoolVal(node == TRUE)
        case Gate.VARIABLE:
            return z3.Bool(f"v{inputs[0]}")
        case Gate.NOT:
            return z3.Not(made[inputs[0]])
        case Gate.AND:
            return z3.And(*[made[each] for each in inputs])
        case _:
            return z3.Or(*[made[each] for each in inputs])


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(logics(delays=True), st.data())
def test_nothing_proved_ever_breaks_on_the_machine(logic: Logic, data: st.DataObject) -> None:
    """Delays are proved for every duration, so no sequence of settings and waits may break it."""
    if not isinstance(prove(Model(logic), logic.interlocks[0]), Proved):
        return
    machine = Machine(logic)
    state = machine.start()
    inputs = all_settings(logic)
    for _ in range(12):
        now = data.draw(st.sampled_from(inputs))
        outcome = machine.step(state, now, data.draw(st.sampled_from([0.0, 1.0, 2.0, 6.0])))
        assert outcome.broken == ()
        state = outcome.state


def parity(count: int) -> Logic:
    """Two chains of exclusive or over the same inputs in another order: hard for any solver."""
    names = [f"I{n}" for n in range(count)]
    outputs, rules = [], []
    ends = []
    for prefix, order in (("A", names), ("B", Random(3).sample(names, count))):
        last = order[0]
        for at, name in enumerate(order[1:]):
            output = f"{prefix}{at}"
            outputs.append({"name": output, "label": output, "internal": True})
            when = f"({last} AND NOT {name}) OR (NOT {last} AND {name})"
            rules.append({"name": output, "output": output, "when": when})
            last = output
        ends.append(last)
    interlock = {"name": "P", "label": "p", "kind": "never_unless", "subjects": [ends[0]]}
    return from_json(
        {
            "version": "1",
            "signals": [{"name": name, "label": name} for name in names],
            "outputs": outputs,
            "rules": rules,
            "interlocks": [{**interlock, "condition": ends[1]}],
        }
    )


def test_a_question_too_hard_is_said_to_be_so() -> None:
    logic = parity(60)
    result = prove(Model(logic), logic.interlocks[0])
    assert isinstance(result, TooLarge)
    assert "It stands on 60 two-valued variables and it was not decided" in result.reason


def test_every_state_is_counted_when_there_are_few() -> None:
    logic = parity(8)
    result = prove(Model(logic), logic.interlocks[0])
    assert result == Proved(states_checked=256, how="every state")


def test_a_position_without_a_code_of_its_own_never_counts() -> None:
    """Three positions need two bits; the fourth code is no state."""
    signal = {"name": "G", "label": "gear", "kind": "position", "positions": ["P", "R", "D"]}
    logic = small_logic(
        signals=[signal],
        terms=[],
        rules=[{"name": "R", "output": "MAST", "when": "G is P OR G is R OR G is D"}],
        interlocks=[
            {
                "name": "I",
                "label": "always",
                "kind": "always_when",
                "subjects": ["MAST"],
                "condition": "MAST OR NOT MAST",
            }
        ],
    )
    assert prove(Model(logic), logic.interlocks[0]) == Proved(states_checked=3, how="every state")


def test_the_counterexample_names_only_what_matters_and_reads_as_a_sentence() -> None:
    rules = [{"name": "R1", "output": "MAST", "when": "UP AND GEAR is P"}]
    logic = small_logic(rules=rules)
    result = prove(Model(logic), logic.interlocks[0])
    assert isinstance(result, Refuted)
    assert result.counterexample.sentence == (
        "Park brake is released and mast button is pressed. As at rest: gear is P. "
        "Mast up is on, which is allowed only while parked."
    )


def test_a_delay_allowed_for_is_judged_after_it_has_run_out() -> None:
    rules = [{"name": "R", "output": "ALARM", "when": "UP", "on_delay_s": 2}]
    interlock = {
        "name": "I",
        "label": "alarm",
        "kind": "always_when",
        "subjects": ["ALARM"],
        "condition": "UP",
    }
    late = small_logic(rules=rules, interlocks=[interlock])
    assert isinstance(prove(Model(late), late.interlocks[0]), Refuted)
    fair = small_logic(rules=rules, interlocks=[{**interlock, "allow_s": 2}])
    assert isinstance(prove(Model(fair, allow_s=2), fair.interlocks[0]), Proved)


@pytest.mark.parametrize("limit", [18, -1])
def test_two_ways_of_looking_give_the_demo_the_same_verdicts(monkeypatch, limit: int) -> None:
    monkeypatch.setattr(prove_module, "MAX_VARIABLES", limit)
    verdicts = {
        interlock.name: type(result)
        for interlock, result in prove_all(demo_logic("1.2"))
        if "." not in interlock.name
    }
    refuted = {name for name, verdict in verdicts.items() if verdict is Refuted}
    assert refuted == {"I1", "I2"}
    assert set(verdicts.values()) == {Proved, Refuted}
