"""Small random logics, and a search through them that knows nothing of circuits."""

from collections import deque
from itertools import product

from hypothesis import strategies as st

from jobs.controls.check import problems
from jobs.controls.evaluate import Machine
from jobs.controls.expressions import (
    AllOf,
    AnyOf,
    Compare,
    Edge,
    Expression,
    Known,
    Named,
    Not,
    Relation,
)
from jobs.controls.logic import (
    Action,
    Interlock,
    InterlockKind,
    Logic,
    Output,
    Rule,
    Term,
)
from jobs.controls.results import Setting
from jobs.controls.signals import Signal, SignalKind, Substitution, Threshold

MOMENT_KINDS = [
    InterlockKind.NEVER_UNLESS,
    InterlockKind.ALWAYS_WHEN,
    InterlockKind.NEVER_TOGETHER,
    InterlockKind.EXACTLY_ONE,
]


@st.composite
def signals(draw: st.DrawFn, name: str) -> Signal:
    kind = draw(st.sampled_from([*[SignalKind.TWO_STATE] * 3, *SignalKind]))
    positions = ("P", "R", "D") if kind is SignalKind.POSITION else ()
    thresholds = ()
    if kind is SignalKind.MEASURED:
        thresholds = (Threshold(value=5), Threshold(value=10, name="fast"))
    values = {SignalKind.TWO_STATE: ["off", "on"], SignalKind.POSITION: ["P", "D"]}
    value = st.sampled_from(values.get(kind, ["0", "7", "99"]))
    return Signal(
        name=name,
        label=f"signal {name}",
        kind=kind,
        positions=positions,
        thresholds=thresholds,
        may_be_unknown=draw(st.booleans()),
        unsafe=draw(value),
        rest=draw(value),
    )


def conditions(signal: Signal, edges: bool) -> st.SearchStrategy[Expression]:
    known = st.just(Known(name=signal.name))
    if signal.kind is SignalKind.TWO_STATE:
        plain = st.just(Named(name=signal.name))
        edge = st.builds(Edge, name=st.just(signal.name), rising=st.booleans())
        return st.one_of(plain, plain, known, edge) if edges else st.one_of(plain, plain, known)
    relation = st.sampled_from(list(Relation))
    operand = st.sampled_from(["P", "R", "D"])
    if signal.kind is SignalKind.MEASURED:
        relation = st.sampled_from([Relation.AT_LEAST, Relation.BELOW])
        operand = st.sampled_from(["5", "fast"])
    compare = st.builds(Compare, name=st.just(signal.name), relation=relation, operand=operand)
    return st.one_of(compare, compare, known)


def expressions(leaves: st.SearchStrategy[Expression]) -> st.SearchStrategy[Expression]:
    return st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.builds(Not, inner=inner),
            st.builds(AllOf, parts=st.tuples(inner, inner)),
            st.builds(AnyOf, parts=st.tuples(inner, inner)),
        ),
        max_leaves=5,
    )


@st.composite
def logics(draw: st.DrawFn, *, state: bool = True, delays: bool = False) -> Logic:
    """Up to four signals, two terms and four outputs, each rule looking only at earlier outputs."""
    inputs = tuple(draw(signals(name)) for name in "ABCD"[: draw(st.integers(1, 4))])
    leaves = st.one_of(*[conditions(each, state) for each in inputs])
    terms = tuple(
        Term(name=name, label=name.lower(), when=draw(expressions(leaves)))
        for name in ["T1", "T2"][: draw(st.integers(0, 2))]
    )
    named = [Named(name=term.name) for term in terms]
    rules: list[Rule] = []
    names = ["X", "Y", "Z", "W"][: draw(st.integers(1, 4))]
    for name in names:
        known = st.one_of(leaves, *[st.just(each) for each in named])
        rules += [
            draw(rule(name, priority, expressions(known), inputs, state, delays))
            for priority in range(draw(st.integers(1, 2)))
        ]
        named.append(Named(name=name))
    everything = expressions(st.one_of(leaves, *[st.just(each) for each in named]))
    kind = draw(st.sampled_from(MOMENT_KINDS))
    count = 1 if kind in MOMENT_KINDS[:2] else 2
    interlock = Interlock(
        name="I",
        label="interlock",
        kind=kind,
        subjects=tuple(draw(everything) for _ in range(count)),
        condition=draw(everything),
    )
    logic = Logic(
        version="1",
        signals=inputs,
        terms=terms,
        outputs=tuple(Output(name=name, label=f"output {name}") for name in names),
        rules=tuple(rules),
        interlocks=(interlock,),
    )
    assert not list(problems(logic))
    return logic


@st.composite
def rule(
    draw: st.DrawFn,
    output: str,
    priority: int,
    expression: st.SearchStrategy[Expression],
    inputs: tuple[Signal, ...],
    state: bool,
    delays: bool,
) -> Rule:
    latches = state and draw(st.booleans())
    other = draw(st.sampled_from(inputs))
    seconds = st.sampled_from([0.0, 2.0, 5.0]) if delays else st.just(0.0)
    return Rule(
        name=f"{output}{priority}",
        output=output,
        priority=priority,
        when=draw(expression),
        action=draw(st.sampled_from(list(Action))) if priority else Action.TURN_ON,
        reset=draw(expression) if latches else None,
        toggle=latches and draw(st.booleans()),
        on_delay_s=draw(seconds),
        off_delay_s=draw(seconds),
        unsafe=draw(
            st.sampled_from([(), (Substitution(signal=other.name, value=other.example(1)),)])
        ),
    )


def all_settings(logic: Logic) -> list[tuple[Setting, ...]]:
    """Every combination of true values and of being known."""
    choices = [
        [
            Setting(signal=signal.name, value=signal.example(index), known=known)
            for index in range(signal.size)
            for known in ([True, False] if signal.may_be_unknown else [True])
        ]
        for signal in logic.signals
    ]
    return list(product(*choices))


def broken_by_search(logic: Logic) -> int | None:
    """The number of moments after power-up at which the interlock first breaks, or None."""
    machine = Machine(logic)
    inputs = all_settings(logic)
    seen = {machine.start()}
    waiting = deque([(machine.start(), 0)])
    while waiting:
        state, moments = waiting.popleft()
        for settings in inputs:
            outcome = machine.step(state, settings)
            if outcome.broken:
                return moments
            if outcome.state not in seen:
                seen.add(outcome.state)
                waiting.append((outcome.state, moments + 1))
    return None
