"""Invented control logic of any size: rules over a few signals each, interlocks about outputs.

Six in ten interlocks repeat a condition of the rule, as those of real vehicles do and hold; the
rest ask for something else and mostly break. One rule in ten stands on 14 to 20 signals.
"""

import random
from dataclasses import replace

from jobs.controls.expressions import AllOf, AnyOf, Compare, Expression, Named, Not, Relation
from jobs.controls.logic import Interlock, InterlockKind, Logic, Output, Rule, Term
from jobs.controls.signals import Signal, SignalKind

POSITIONS = ("a", "b", "c", "d")


def vehicle(inputs: int, outputs: int, interlocks: int, *, seed: int = 1) -> Logic:
    """Two-valued inputs in all: a switch of four positions counts as two."""
    chance = random.Random(seed)
    signals = _signals(inputs)
    terms = tuple(
        Term(name=f"T{number}", label=f"term {number}", when=_joined(chance, signals, 3))
        for number in range(20)
    )
    rules = tuple(_rule(chance, number, signals, terms) for number in range(outputs))
    return Logic(
        version="1",
        signals=signals,
        terms=terms,
        outputs=tuple(Output(name=rule.output, label=f"output {rule.output}") for rule in rules),
        rules=rules,
        interlocks=tuple(_interlock(chance, n, signals, rules) for n in range(interlocks)),
    )


def with_memory(logic: Logic, *, seed: int = 1) -> Logic:
    """The same with a latch on every third rule, a delay on every fourth, and rules on rules."""
    chance = random.Random(seed)
    rules: list[Rule] = []
    for number, rule in enumerate(logic.rules):
        when = rule.when
        if number and chance.random() < 0.85:
            before = chance.choice(rules[-10:])
            other = Named(name=before.output)
            kind = AllOf if chance.random() < 0.7 else AnyOf
            when = kind(parts=(when, other))
        reset = _leaf(chance, logic.signals) if number % 3 == 0 else None
        delay_s = 5.0 if number % 4 == 0 else 0.0
        rules.append(replace(rule, when=when, reset=reset, on_delay_s=delay_s))
    return replace(logic, rules=tuple(rules))


def _signals(inputs: int) -> tuple[Signal, ...]:
    rotary = inputs // 10
    found = [
        Signal(name=f"ROT{n}", label=f"switch {n}", kind=SignalKind.POSITION, positions=POSITIONS)
        for n in range(rotary)
    ]
    found += [Signal(name=f"I{n}", label=f"input {n}") for n in range(inputs - 2 * rotary)]
    return tuple(found)


def _leaf(chance: random.Random, pool: tuple[Signal, ...]) -> Expression:
    signal = chance.choice(pool)
    found: Expression = Named(name=signal.name)
    if signal.kind is SignalKind.POSITION:
        operand = chance.choice(POSITIONS)
        found = Compare(name=signal.name, relation=Relation.IS, operand=operand)
    return Not(inner=found) if chance.random() < 0.3 else found


def _joined(chance: random.Random, pool: tuple[Signal, ...], count: int) -> Expression:
    kind = AllOf if chance.random() < 0.5 else AnyOf
    return kind(parts=tuple(_leaf(chance, pool) for _ in range(count)))


def _rule(
    chance: random.Random, number: int, signals: tuple[Signal, ...], terms: tuple[Term, ...]
) -> Rule:
    wide = chance.random() < 0.1
    count = chance.randint(14, 20) if wide else chance.randint(2, 8)
    pool = chance.sample(signals, min(count, len(signals)))
    parts: list[Expression] = []
    for at in range(0, len(pool), 3):
        leaves = tuple(_leaf(chance, (signal,)) for signal in pool[at : at + 3])
        kind = AnyOf if chance.random() < 0.6 else AllOf
        parts.append(kind(parts=leaves) if len(leaves) > 1 else leaves[0])
    if chance.random() < 0.5:
        parts.append(Named(name=chance.choice(terms).name))
    when = AllOf(parts=tuple(parts)) if len(parts) > 1 else parts[0]
    return Rule(name=f"R{number}", output=f"O{number}", when=when)


def _interlock(
    chance: random.Random, number: int, signals: tuple[Signal, ...], rules: tuple[Rule, ...]
) -> Interlock:
    rule = chance.choice(rules)
    if chance.random() < 0.6:
        parts = rule.when.parts if isinstance(rule.when, AllOf) else (rule.when,)
        chosen = chance.sample(parts, min(2, len(parts)))
    else:
        chosen = [_leaf(chance, signals), _leaf(chance, signals)]
    return Interlock(
        name=f"P{number}",
        label=f"interlock {number}",
        kind=InterlockKind.NEVER_UNLESS,
        subjects=(Named(name=rule.output),),
        condition=AllOf(parts=tuple(chosen)) if len(chosen) > 1 else chosen[0],
    )
