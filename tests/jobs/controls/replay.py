"""Plays written test steps on a logic, as somebody in the bay would, and says what was wrong."""

from collections.abc import Iterable
from dataclasses import replace

from jobs.controls.evaluate import Machine
from jobs.controls.expressions import AllOf, AnyOf, Expression, Not, names
from jobs.controls.logic import Logic, Rule
from jobs.controls.moments import Outcome
from jobs.controls.results import Setting
from jobs.controls.steps import Expectation, Step


def first_wrong(logic: Logic, steps: Iterable[Step], only: set[str] | None = None) -> str:
    """The key of the first assertion that the logic does not fulfil; empty when all are."""
    machine = Machine(logic)
    state = machine.start()
    settings: dict[str, Setting] = {}
    for step in steps:
        before = after = None
        for act in step.acts:
            settings |= {each.signal: each for each in act.changes}
            if act.restart:
                state = machine.start()
            before = after = machine.step(state, settings.values())
            if act.wait_s:
                after = machine.step(before.state, settings.values(), act.wait_s)
            state = after.state
        if before is None or after is None:
            before = after = machine.step(state, settings.values())
            state = after.state
        for each in step.asserts:
            if only is not None and each.expect.name not in only:
                continue
            if not fulfilled(each.expect, before, after):
                return each.key
    return ""


def fulfilled(expect: Expectation, before: Outcome, after: Outcome) -> bool:
    if expect.pattern is not None:
        return (expect.name, expect.pattern) in {(each.head, each.pattern) for each in after.heads}
    first = expect.on if expect.at_once is None else expect.at_once
    if (expect.name in before.energised) != first:
        return False
    return (expect.name in after.energised) == expect.on


def needed_for(logic: Logic, output: str) -> Logic:
    """The logic cut down to one output and what it stands on: quicker to play."""
    terms = {term.name: term.when for term in logic.terms}
    series = {each.name: each.series for each in logic.outputs}
    needed, waiting = set[str](), [output]
    while waiting:
        name = waiting.pop()
        if name in needed:
            continue
        needed.add(name)
        waiting += [series[name]] if series.get(name) else []
        for rule in logic.rules:
            if rule.output == name:
                waiting += [*names(rule.when), *(names(rule.reset) if rule.reset else ())]
        if name in terms:
            waiting += names(terms[name])
    return replace(
        logic,
        outputs=tuple(each for each in logic.outputs if each.name in needed),
        rules=tuple(each for each in logic.rules if each.output in needed),
        heads=(),
        interlocks=(),
        nodes=(),
        wires=(),
    )


def mutants(expression: Expression) -> list[Expression]:
    """The expression with one operator turned over, or one part left out."""
    match expression:
        case Not(inner=inner):
            return [inner, *[Not(inner=each) for each in mutants(inner)]]
        case AllOf(parts=parts) | AnyOf(parts=parts):
            kind = type(expression)
            other = AnyOf if kind is AllOf else AllOf
            found: list[Expression] = [other(parts=parts)]
            for at, part in enumerate(parts):
                rest = (*parts[:at], *parts[at + 1 :])
                found.append(rest[0] if len(rest) == 1 else kind(parts=rest))
                found += [
                    kind(parts=(*parts[:at], each, *parts[at + 1 :])) for each in mutants(part)
                ]
            return found
        case _:
            return [Not(inner=expression)]


def rule_mutants(rule: Rule) -> list[Rule]:
    found = [replace(rule, when=each) for each in mutants(rule.when)]
    if rule.reset is not None:
        found += [replace(rule, reset=each) for each in mutants(rule.reset)]
    return found


def with_rule(logic: Logic, rule: Rule) -> Logic:
    rules = tuple(rule if each.name == rule.name else each for each in logic.rules)
    return replace(logic, rules=rules)
