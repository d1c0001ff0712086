"""Proofs and test rows of large logics against z3 and a plain SAT solver in the same run."""

import time
from collections import Counter
from collections.abc import Iterator

from jobs.controls.broken import broken_node
from jobs.controls.cones import cone_of
from jobs.controls.decisions import Decision, decisions
from jobs.controls.logic import Logic
from jobs.controls.mcdc import Form, cover
from jobs.controls.model import Model
from jobs.controls.prove import Prover
from jobs.controls.results import Proved
from jobs.controls.rows import components, legal_rows
from tests.bench.clock import Figure, best, growth
from tests.bench.peers import never_by_sat, never_by_z3, shown_by_sat
from tests.bench.vehicles import vehicle, with_memory

INPUTS, OUTPUTS, INTERLOCKS = 60, 200, 60
SEEDS = (1, 2, 3)
ROUNDS = 40


def figures() -> Iterator[Figure]:
    yield from _verdicts()
    yield from _rows()
    yield from _memory()


def _verdicts() -> Iterator[Figure]:
    """Whether each interlock holds; the verdicts must be the same for every one of them."""
    ours = z3 = sat = full = 0.0
    asked = 0
    for seed in SEEDS:
        model, nodes = questions(vehicle(INPUTS, OUTPUTS, INTERLOCKS, seed=seed))
        answer = never(model, nodes)
        for other in (never_by_z3, never_by_sat, examples):
            assert answer == other(model, nodes), f"{other.__name__} says otherwise"
        asked += len(nodes)
        ours += best(lambda m=model, n=nodes: never(m, n), rounds=ROUNDS)
        z3 += best(lambda m=model, n=nodes: never_by_z3(m, n), rounds=ROUNDS // 2)
        sat += best(lambda m=model, n=nodes: never_by_sat(m, n), rounds=ROUNDS)
        full += best(lambda m=model, n=nodes: examples(m, n), rounds=ROUNDS // 4)
    name = f"{asked} interlocks, {INPUTS} inputs, {OUTPUTS} outputs ({1000 * ours:.1f} ms)"
    yield Figure(name=f"{name} over z3", value=ours / z3, budget=0.15, unit="x")
    yield Figure(name="the same over a plain SAT solver", value=ours / sat, budget=0.6, unit="x")
    name = f"the same with smallest counterexamples ({1000 * full:.0f} ms) over z3"
    yield Figure(name=name, value=full / z3, budget=2.0, unit="x")
    small, large = (questions(vehicle(INPUTS, 4 * n, n)) for n in (50, 800))
    exponent = growth(lambda: never(*small), lambda: never(*large), times=16, rounds=10)
    name = "growth exponent of verdicts, 50 to 800 interlocks"
    yield Figure(name=name, value=exponent, budget=1.15)


def questions(logic: Logic) -> tuple[Model, list[int]]:
    model = Model(logic)
    return model, [broken_node(model, each) for each in logic.interlocks]


def never(model: Model, nodes: list[int]) -> list[bool]:
    with Prover(model) as prover:
        return [prover.can_be(node) is False for node in nodes]


def examples(model: Model, nodes: list[int]) -> list[bool]:
    """What the product does: the verdict, and the smallest counterexample where it is refuted."""
    with Prover(model) as prover:
        return [isinstance(prover.find(cone_of(model, node), node), Proved) for node in nodes]


def _rows() -> Iterator[Figure]:
    """Test rows for every rule; a SAT solver looks for a pair for each condition."""
    for outputs in (50, OUTPUTS):
        model = Model(vehicle(INPUTS, outputs, 0))
        asked = decisions(model)
        ours = best(lambda m=model, a=asked: shown(m, a), rounds=8)
        theirs = best(lambda m=model, a=asked: shown_by_sat(m, a), rounds=4)
        (mine, few), (other, more) = shown(model, asked), shown_by_sat(model, asked)
        assert mine >= other, "a condition that can be shown is missed"
        name = f"test rows, {outputs} rules ({1000 * ours:.0f} ms, {few} rows, SAT {more}) over SAT"
        yield Figure(name=name, value=ours / theirs, budget=0.5, unit="x")
    small, large = ((model := Model(vehicle(INPUTS, n, 0)), decisions(model)) for n in (50, 400))
    exponent = growth(lambda: shown(*small), lambda: shown(*large), times=8, rounds=4)
    yield Figure(name="growth exponent of test rows, 50 to 400 rules", value=exponent, budget=1.15)


def shown(model: Model, asked: list[Decision]) -> tuple[int, int]:
    """Conditions that have a unique-cause pair, and the rows of all decisions."""
    found = rows = 0
    for decision in asked:
        count = len(decision.places)
        parts = components(model, decision)
        legal = None if parts is None else legal_rows(parts, count)
        covered = cover(decision.shape, count, legal=legal, same=decision.same)
        found += sum(each.form is Form.UNIQUE_CAUSE for each in covered.shown)
        rows += len(covered.rows)
    return found, rows


def _memory() -> Iterator[Figure]:
    """With latches and delays each question has an answer, or a reason why not, in good time."""
    for outputs in (50, OUTPUTS, 4 * OUTPUTS):
        logic = with_memory(vehicle(INPUTS, outputs, INTERLOCKS))
        model = Model(logic)
        times, kinds, wide = [], Counter[str](), 0
        with Prover(model) as prover:
            for interlock in logic.interlocks:
                wide = max(wide, len(cone_of(model, broken_node(model, interlock)).states))
                start = time.perf_counter()
                kinds[type(prover.judge(interlock)).__name__] += 1
                times.append(time.perf_counter() - start)
        words = ", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items()))
        name = f"slowest of {outputs} outputs with memory, to {wide} states ({words})"
        yield Figure(name=name, value=max(times), budget=10, unit="s")
